#include <algorithm>
#include <cmath>

#include "base/intervals.h"
#include "base/parallel.h"
#include "geometry/frames.h"
#include "jets/jet_match.h"

namespace scrapetrace::jets {

namespace {
constexpr int kStepsPerColumn = 4;
constexpr int kFineSteps = 16;  // between steps all is taken as linear, which draws places towards steps
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

bool holds(const std::vector<Interval>& intervals, double x_mm) {
  return std::any_of(intervals.begin(), intervals.end(),
                     [&](const Interval& i) { return x_mm >= i.from_mm && x_mm <= i.to_mm; });
}

// Loss at each sample of what heads at a trial lay, against columns without gap or overlap.
std::vector<double> seam_losses(const geometry::Machine& machine, const Trial& trial, double middle_mm,
                                const profile::Grid& grid, const ColumnSpread& column) {
  std::vector<double> out(static_cast<std::size_t>(grid.size), 1.0);
  const geometry::ColumnRange printed = machine.columns.printed();
  for (int c = printed.first; c <= printed.last; ++c) {
    const geometry::Owner owner = machine.columns.owner(c);
    if (owner.nobody()) continue;
    const std::size_t carriage = machine.layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double x = trial.placed(geometry::drum_x_of_column(machine.layout, c, carriage), middle_mm);
    const int from = std::max(0, static_cast<int>(std::ceil(grid.index(x - column.reach_mm()))));
    const int to = std::min(grid.size, static_cast<int>(std::floor(grid.index(x + column.reach_mm()))) + 1);
    for (int i = from; i < to; ++i) out[static_cast<std::size_t>(i)] -= column.weight(grid.at(i) - x);
  }
  return out;
}

}  // namespace

JetData::JetData(const geometry::Machine& machine, const profile::PreparedScan& scan, int threads) {
  const auto& grid = scan.strips.grid;
  Shown shown{ColumnSpread(machine.layout.px_mm(), scan.blur_px * grid.pitch_mm),
              {},
              {},
              {},
              {},
              grid,
              {},
              {},
              {},
              {}};
  for_each_part(2, threads, [&](std::size_t part) {
    if (part == 0)
      shown.losses = ink_losses(machine, scan);
    else
      shown.combs = make_combs(machine, shown.column);
  });
  auto& residuals = shown.residuals = shown.losses;
  for_each_part(residuals.size(), threads, [&](std::size_t k) { leave_jets(grid.pitch_mm, residuals[k]); });
  shown.streak = common_streaks(residuals, grid.size);
  int from = 0;
  int to = grid.size;
  for (const InkResidual& residual : residuals)
    from = std::max(from, residual.from), to = std::min(to, residual.to);
  const double reach = shown.column.reach_mm();
  window_mm_ = {grid.at(from) + reach, grid.at(to) - reach};
  shown.spread.first_mm = grid.first_mm;
  shown.spread.step_mm = machine.layout.px_mm() / kStepsPerColumn;
  for (const InkResidual& residual : residuals)
    shown.inks.push_back({residual.ink, residual.noise_variance, residual.jet_variance});
  add_residuals(threads, shown);
  shown_ = std::make_shared<const Shown>(std::move(shown));
}

void JetData::add_residuals(int threads, Shown& out) {
  const std::vector<InkResidual>& residuals = out.residuals;
  const profile::Grid& grid = out.grid;
  const std::size_t inks = residuals.size();
  out.square.assign(static_cast<std::size_t>(grid.size) + 1, 0.0);
  // All inks of a sample beside one another, nothing outside their samples.
  const std::size_t width = (inks + Spread::kAtOnce - 1) / Spread::kAtOnce * Spread::kAtOnce;
  std::vector<double> values(static_cast<std::size_t>(grid.size) * width, 0.0);
  for (std::size_t k = 0; k < inks; ++k) {
    const InkResidual& residual = residuals[k];
    for (std::size_t i = 0; i < residual.value.size(); ++i) {
      if (!holds(out.left_out_mm, grid.at(static_cast<double>(i)))) values[i * width + k] = residual.value[i];
    }
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
  spread.steps = static_cast<std::size_t>(std::ceil(grid.size * grid.pitch_mm / spread.step_mm)) + 1;
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

std::vector<double> JetData::off_seams(const geometry::Machine& machine, const Trial& trial) const {
  const auto expected = seam_losses(machine, trial, middle_mm(), shown_->grid, shown_->column);
  std::vector<double> squares(expected.size(), 0.0);
  for (const InkResidual& losses : shown_->losses)
    add_unexpected_squares(expected, pitch_mm(), losses, squares);
  return squares;
}

std::vector<Interval> JetData::near_streaks_mm() const {
  const std::vector<bool>& streak = shown_->streak;
  std::vector<Interval> out;
  for (std::size_t i = 0; i < streak.size(); ++i) {
    if (!streak[i]) continue;
    const double x_mm = shown_->grid.at(static_cast<double>(i));
    if (out.empty() || out.back().to_mm < x_mm - kBesideStreak_mm)
      out.push_back({x_mm - kBesideStreak_mm, x_mm});
    out.back().to_mm = x_mm + kBesideStreak_mm;
  }
  return out;
}

bool JetData::shows(double x_mm) const {
  return x_mm >= window_mm_.from_mm && x_mm <= window_mm_.to_mm && !holds(shown_->left_out_mm, x_mm);
}

JetData JetData::retold_finely(const std::vector<Ink>& inks, std::vector<Interval> left_out_mm) const {
  Shown shown = *shown_;
  shown.inks = inks;
  shown.left_out_mm = std::move(left_out_mm);
  shown.spread.step_mm *= static_cast<double>(kStepsPerColumn) / kFineSteps;
  add_residuals(1, shown);
  JetData out = *this;
  out.shown_ = std::make_shared<const Shown>(std::move(shown));
  return out;
}

JetData JetData::narrowed(Interval window_mm) const {
  JetData out = *this;
  out.window_mm_ = window_mm;
  return out;
}

double JetData::samples() const {
  double shown_mm = std::max(0.0, window_mm_.to_mm - window_mm_.from_mm);
  for (const Interval& hidden : joined(shown_->left_out_mm)) {
    shown_mm -= std::max(
        0.0, std::min(hidden.to_mm, window_mm_.to_mm) - std::max(hidden.from_mm, window_mm_.from_mm));
  }
  return static_cast<double>(inks().size()) * shown_mm / pitch_mm();
}

}  // namespace scrapetrace::jets
