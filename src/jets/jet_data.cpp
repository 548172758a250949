#include <algorithm>
#include <cmath>

#include "jets/jet_match.h"

namespace scrapetrace::jets {

namespace {
constexpr int kStepsPerColumn = 4;
}

JetData::JetData(const Layout& layout, const geometry::ColumnMap& columns, const diagnose::PreparedScan& scan)
    : spread_(layout.px_mm(), scan.blur_px * scan.strips.grid.pitch_mm) {
  const auto& grid = scan.strips.grid;
  pitch_mm_ = grid.pitch_mm;
  step_mm_ = layout.px_mm() / kStepsPerColumn;
  first_mm_ = grid.first_mm;
  steps_ = static_cast<std::size_t>(std::ceil(grid.size * grid.pitch_mm / step_mm_)) + 1;
  const auto residuals = ink_residuals(layout, columns, scan);
  int from = 0;
  int to = grid.size;
  for (const InkResidual& residual : residuals)
    from = std::max(from, residual.from), to = std::min(to, residual.to);
  window_mm_ = {grid.at(from) + spread_.reach_mm(), grid.at(to) - spread_.reach_mm()};
  for (const InkResidual& residual : residuals) add_ink(residual, grid);
}

void JetData::add_ink(const InkResidual& residual, const profile::Grid& grid) {
  Ink ink;
  ink.noise_variance = residual.noise_variance;
  ink.jet_variance = residual.jet_variance;
  ink.spread.assign(steps_, 0.0);
  for (std::size_t k = 0; k < steps_; ++k) {
    const double x = first_mm_ + static_cast<double>(k) * step_mm_;
    const int a = std::max(residual.from, static_cast<int>(std::ceil(grid.index(x - spread_.reach_mm()))));
    const int b = std::min(residual.to, static_cast<int>(std::floor(grid.index(x + spread_.reach_mm()))) + 1);
    for (int i = a; i < b; ++i)
      ink.spread[k] += spread_.weight(grid.at(i) - x) * residual.value[static_cast<std::size_t>(i)];
  }
  for (const double value : residual.value) ink.squares.push_back(value * value);
  inks_.push_back(std::move(ink));
}

double JetData::spread_at(const Ink& ink, double x_mm) const {
  const double at = (x_mm - first_mm_) / step_mm_;
  if (at < 0 || at + 1 >= static_cast<double>(steps_)) return 0;
  const auto k = static_cast<std::size_t>(at);
  const double t = at - static_cast<double>(k);
  return ink.spread[k] * (1 - t) + ink.spread[k + 1] * t;
}

double JetData::square(const Ink& ink) const {
  double sum = 0;
  for (std::size_t i = 0; i < ink.squares.size(); ++i) {
    const double x = first_mm_ + static_cast<double>(i) * pitch_mm_;
    if (x >= window_mm_.from_mm && x <= window_mm_.to_mm) sum += ink.squares[i];
  }
  return sum;
}

JetData JetData::narrowed(Interval window_mm) const {
  JetData out = *this;
  out.window_mm_ = window_mm;
  return out;
}

double JetData::samples() const {
  return static_cast<double>(inks_.size()) * std::max(0.0, window_mm_.to_mm - window_mm_.from_mm) / pitch_mm_;
}

}  // namespace scrapetrace::jets
