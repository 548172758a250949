#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "geometry/frames.h"
#include "jets/jet_match.h"

namespace scrapetrace::jets {

namespace {
constexpr int kStepsPerColumn = 4;
constexpr std::size_t kStepsInPart = 1000;
constexpr double kBesideStreak_mm = 2;  // the running mean that is taken off reaches so far

// Where more inks than one show a streak (or the only one does): a dead jet is one ink's.
std::vector<bool> common_streaks(const std::vector<InkResidual>& residuals, int size) {
  std::vector<bool> out(static_cast<std::size_t>(size), false);
  const std::size_t needed = std::min<std::size_t>(2, residuals.size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const auto shows = std::count_if(residuals.begin(), residuals.end(),
                                     [&](const InkResidual& ink) { return bool{ink.streak[i]}; });
    out[i] = needed > 0 && static_cast<std::size_t>(shows) >= needed;
  }
  return out;
}

// Loss at each sample of what heads at a trial lay, against columns without gap or overlap.
std::vector<double> seam_losses(const Layout& layout, const geometry::ColumnMap& columns, const Trial& trial,
                                double middle_mm, const profile::Grid& grid, const ColumnSpread& column) {
  std::vector<double> out(static_cast<std::size_t>(grid.size), 1.0);
  const geometry::ColumnRange printed = columns.printed();
  for (int c = printed.first; c <= printed.last; ++c) {
    const geometry::Owner owner = columns.owner(c);
    if (owner.nobody()) continue;
    const std::size_t carriage = layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double x = trial.placed(geometry::drum_x_of_column(layout, c, carriage), middle_mm);
    const int from = std::max(0, static_cast<int>(std::ceil(grid.index(x - column.reach_mm()))));
    const int to = std::min(grid.size, static_cast<int>(std::floor(grid.index(x + column.reach_mm()))) + 1);
    for (int i = from; i < to; ++i) out[static_cast<std::size_t>(i)] -= column.weight(grid.at(i) - x);
  }
  return out;
}

}  // namespace

JetData::JetData(const Layout& layout, const geometry::ColumnMap& columns, const diagnose::PreparedScan& scan,
                 int threads) {
  const auto& grid = scan.strips.grid;
  Shown shown{ColumnSpread(layout.px_mm(), scan.blur_px * grid.pitch_mm), {}, {}, {}, {}, grid, {}, {}};
  for_each_part(2, threads, [&](std::size_t part) {
    if (part == 0)
      shown.losses = ink_losses(layout, columns, scan);
    else
      shown.combs = make_combs(layout, columns, shown.column);
  });
  auto residuals = shown.losses;
  for_each_part(residuals.size(), threads, [&](std::size_t k) { leave_jets(grid.pitch_mm, residuals[k]); });
  shown.streak = common_streaks(residuals, grid.size);
  int from = 0;
  int to = grid.size;
  for (const InkResidual& residual : residuals)
    from = std::max(from, residual.from), to = std::min(to, residual.to);
  const double reach = shown.column.reach_mm();
  window_mm_ = {grid.at(from) + reach, grid.at(to) - reach};
  shown.spread.first_mm = grid.first_mm;
  shown.spread.step_mm = layout.px_mm() / kStepsPerColumn;
  shown.spread.steps =
      static_cast<std::size_t>(std::ceil(grid.size * grid.pitch_mm / shown.spread.step_mm)) + 1;
  add_residuals(residuals, threads, shown);
  shown_ = std::make_shared<const Shown>(std::move(shown));
}

void JetData::add_residuals(const std::vector<InkResidual>& residuals, int threads, Shown& out) {
  const profile::Grid& grid = out.grid;
  const std::size_t inks = residuals.size();
  out.square.assign(static_cast<std::size_t>(grid.size) + 1, 0.0);
  // All inks of a sample beside one another, nothing outside their samples.
  const std::size_t width = (inks + Spread::kAtOnce - 1) / Spread::kAtOnce * Spread::kAtOnce;
  std::vector<double> values(static_cast<std::size_t>(grid.size) * width, 0.0);
  for (std::size_t k = 0; k < inks; ++k) {
    const InkResidual& residual = residuals[k];
    out.inks.push_back({residual.noise_variance, residual.jet_variance});
    for (std::size_t i = 0; i < residual.value.size(); ++i) values[i * width + k] = residual.value[i];
  }
  for (std::size_t i = 0; i + 1 < out.square.size(); ++i) {
    double sum = 0;
    for (std::size_t k = 0; k < inks; ++k)
      sum += values[i * width + k] * values[i * width + k] / out.inks[k].noise_variance;
    out.square[i + 1] = out.square[i] + sum;
  }
  const double reach = out.column.reach_mm();
  Spread& spread = out.spread;
  spread.width = width;
  spread.value.assign(spread.steps * width, 0.0);
  for_each_stretch(spread.steps, kStepsInPart, threads, [&](std::size_t first, std::size_t end) {
    for (std::size_t s = first; s < end; ++s) {
      const double x = spread.first_mm + static_cast<double>(s) * spread.step_mm;
      const int a = std::max(0, static_cast<int>(std::ceil(grid.index(x - reach))));
      const int b = std::min(grid.size, static_cast<int>(std::floor(grid.index(x + reach))) + 1);
      double* to = spread.value.data() + s * width;
      for (int i = a; i < b; ++i) {
        const double weight = out.column.weight(grid.at(i) - x);
        const double* r = values.data() + static_cast<std::size_t>(i) * width;
        for (std::size_t k = 0; k < width; ++k) to[k] += weight * r[k];
      }
    }
  });
}

double JetData::square() const {
  const auto& sums = shown_->square;
  const auto place = [&](double index) {
    return static_cast<std::size_t>(std::clamp(index, 0.0, static_cast<double>(sums.size()) - 1));
  };
  const std::size_t from =
      place(std::ceil((window_mm_.from_mm - shown_->grid.first_mm) / shown_->grid.pitch_mm));
  const std::size_t to =
      place(std::floor((window_mm_.to_mm - shown_->grid.first_mm) / shown_->grid.pitch_mm) + 1);
  return to > from ? sums[to] - sums[from] : 0;
}

std::vector<double> JetData::off_seams(const Layout& layout, const geometry::ColumnMap& columns,
                                       const Trial& trial) const {
  const auto expected = seam_losses(layout, columns, trial, middle_mm(), shown_->grid, shown_->column);
  std::vector<double> squares(expected.size(), 0.0);
  for (const InkResidual& losses : shown_->losses)
    add_unexpected_squares(expected, pitch_mm(), losses, squares);
  return squares;
}

std::pair<std::size_t, std::size_t> JetData::samples_in(Interval x_mm) const {
  const auto place = [&](double x) {
    return static_cast<std::size_t>(
        std::clamp(std::ceil(shown_->grid.index(x)), 0.0, static_cast<double>(shown_->grid.size)));
  };
  return {place(x_mm.from_mm), place(x_mm.to_mm)};
}

bool JetData::near_streak(Interval x_mm) const {
  const auto [from, to] = samples_in({x_mm.from_mm - kBesideStreak_mm, x_mm.to_mm + kBesideStreak_mm});
  const auto begin = shown_->streak.begin();
  return std::find(begin + static_cast<std::ptrdiff_t>(from), begin + static_cast<std::ptrdiff_t>(to),
                   true) != begin + static_cast<std::ptrdiff_t>(to);
}

JetData JetData::narrowed(Interval window_mm) const {
  JetData out = *this;
  out.window_mm_ = window_mm;
  return out;
}

double JetData::samples() const {
  return static_cast<double>(inks().size()) * std::max(0.0, window_mm_.to_mm - window_mm_.from_mm) /
         pitch_mm();
}

}  // namespace scrapetrace::jets
