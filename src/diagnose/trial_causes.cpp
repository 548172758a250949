#include "diagnose/trial_causes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace scrapetrace::diagnose {

namespace {

// Density of one layer of ink: where the layout has none, that of the nearest cell to the left that has.
double one_layer(const Scene& scene, const Trace& trace, std::size_t c) {
  while (c > 0 && scene.cells[c].layers == 0) --c;
  return scene.cells[c].layers == 0 ? 0 : trace.density[c] / scene.cells[c].layers;
}

void resize(const CellRange& range, CellSignals& out) {
  out.signal.resize(range.to - range.from);
  out.slope.assign(range.to - range.from, 0.0);
}

}  // namespace

ResidueTrial::ResidueTrial(const Scene& scene, const geometry::TouchCounts& touches) {
  range_.from = scene.cells.size();
  std::vector<std::uint8_t> all(scene.cells.size(), 0);
  for (std::size_t c = 0; c < all.size(); ++c) {
    if (scene.cells[c].column < 0) continue;
    all[c] = static_cast<std::uint8_t>(touches.at(scene.cells[c].column));
    if (all[c] == 0) continue;
    range_.from = std::min(range_.from, c);
    range_.to = c + 1;
  }
  range_.from = std::min(range_.from, range_.to);
  n_.assign(all.begin() + static_cast<std::ptrdiff_t>(range_.from),
            all.begin() + static_cast<std::ptrdiff_t>(range_.to));
}

void ResidueTrial::signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const {
  resize(range_, out);
  std::array<double, 256> power;  // only as far as it is used: filling it would take as long as the rest
  power[0] = 1;
  const auto most = static_cast<std::size_t>(n_.empty() ? 0 : *std::max_element(n_.begin(), n_.end()));
  for (std::size_t k = 1; k <= most; ++k) power[k] = power[k - 1] * (1 - loss);
  for (std::size_t k = 0; k < n_.size(); ++k) {
    const std::size_t c = range_.from + k;
    const std::size_t n = n_[k];
    if (trace.ink < 0 || n == 0) {
      out.signal[k] = before.signal[c];
      continue;
    }
    const double haze = before.haze[c];
    const double amount = before.amount[c];
    const CellResponse cell = cell_response(trace.density[c], trace.coverage, amount * power[n]);
    out.signal[k] = haze * cell.signal;
    out.slope[k] = -haze * cell.slope * amount * static_cast<double>(n) * power[n - 1];
  }
}

void ResidueTrial::apply(double loss, InkState& state) const {
  for (auto& kept : state.kept) {
    for (std::size_t k = 0; k < n_.size(); ++k) kept[range_.from + k] *= std::pow(1 - loss, n_[k]);
  }
}

JetTrial::JetTrial(std::size_t ink, std::vector<std::size_t> cells) : ink_(ink), cells_(std::move(cells)) {
  if (!cells_.empty()) range_ = {cells_.front(), cells_.back() + 1};
}

void JetTrial::signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const {
  resize(range_, out);
  std::size_t next = 0;
  for (std::size_t c = range_.from; c < range_.to; ++c) {
    const std::size_t k = c - range_.from;
    const bool own = next < cells_.size() && cells_[next] == c;
    if (own) ++next;
    out.signal[k] = before.signal[c];
    if (trace.ink < 0 || !own) continue;
    const double share = trace.share[ink_] * before.state.kept[ink_][c];
    const double amount = before.amount[c] - share * loss;
    const CellResponse cell = cell_response(trace.density[c], trace.coverage, amount);
    out.signal[k] = before.haze[c] * cell.signal;
    if (share > 0) out.slope[k] = -before.haze[c] * cell.slope * share;
  }
}

void JetTrial::apply(double loss, InkState& state) const {
  for (std::size_t c : cells_) state.kept[ink_][c] *= 1 - loss;
}

ScratchTrial::ScratchTrial(const Scene& scene, Interval x_mm) {
  range_.from = scene.cells.size();
  for (std::size_t c = 0; c < scene.cells.size(); ++c) {
    const Cell& cell = scene.cells[c];
    const double inside = std::min(x_mm.to_mm, cell.to_mm) - std::max(x_mm.from_mm, cell.from_mm);
    if (inside <= 0) continue;
    range_.from = std::min(range_.from, c);
    range_.to = c + 1;
    overlap_.push_back(inside / (cell.to_mm - cell.from_mm));
  }
  range_.from = std::min(range_.from, range_.to);
}

void ScratchTrial::signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const {
  resize(range_, out);
  for (std::size_t k = 0; k < overlap_.size(); ++k) {
    const std::size_t c = range_.from + k;
    out.signal[k] = before.signal[c];
    if (trace.ink < 0) continue;
    const double amount = before.amount[c];
    const CellResponse scraped = cell_response(trace.density[c], trace.coverage, amount * (1 - loss));
    const double part = before.haze[c] * overlap_[k];
    out.signal[k] = (1 - overlap_[k]) * before.signal[c] + part * scraped.signal;
    out.slope[k] = -part * scraped.slope * amount;
  }
}

void ScratchTrial::apply(double loss, InkState& state) const {
  for (auto& kept : state.kept) {
    for (std::size_t k = 0; k < overlap_.size(); ++k) kept[range_.from + k] *= 1 - loss * overlap_[k];
  }
}

HazeTrial::HazeTrial(const Scene& scene, double centre_mm, double fwhm_mm) {
  const double sigma = fwhm_mm / (2 * std::sqrt(2 * std::numbers::ln2));
  range_ = {0, scene.cells.size()};
  for (const Cell& cell : scene.cells) {
    shape_.push_back(std::exp(-0.5 * std::pow((cell.middle_mm() - centre_mm) / sigma, 2)));
  }
}

void HazeTrial::signals(const Trace& /*trace*/, const Standing& before, double density,
                        CellSignals& out) const {
  resize(range_, out);
  for (std::size_t c = 0; c < shape_.size(); ++c) {
    out.signal[c] = before.signal[c] * std::pow(10.0, -density * shape_[c]);
    out.slope[c] = -std::numbers::ln10 * shape_[c] * out.signal[c];
  }
}

void HazeTrial::apply(double density, InkState& state) const {
  for (std::size_t c = 0; c < shape_.size(); ++c) state.haze[c] += density * shape_[c];
}

SeamTrial::SeamTrial(const Scene& scene, const geometry::SeamEnds& by_layout, double end_mm, int direction,
                     bool overlap)
    : scene_(scene), end_mm_(end_mm), direction_(direction), overlap_(overlap) {
  const Interval most = interval_mm(kWidest_mm);
  const double from_mm = std::min({most.from_mm, by_layout.left_mm, by_layout.right_mm});
  const double to_mm = std::max({most.to_mm, by_layout.left_mm, by_layout.right_mm});
  range_.from = scene.cells.size();
  for (std::size_t c = 0; c < scene.cells.size(); ++c) {
    if (scene.cells[c].to_mm <= from_mm || scene.cells[c].from_mm >= to_mm) continue;
    range_.from = std::min(range_.from, c);
    range_.to = c + 1;
  }
  range_.from = std::min(range_.from, range_.to);
}

Interval SeamTrial::interval_mm(double width_mm) const {
  return direction_ > 0 ? Interval{end_mm_, end_mm_ + width_mm} : Interval{end_mm_ - width_mm, end_mm_};
}

double SeamTrial::part_of(const Cell& cell, double width_mm) const {
  const Interval x = interval_mm(width_mm);
  const double inside = std::min(x.to_mm, cell.to_mm) - std::max(x.from_mm, cell.from_mm);
  return std::max(0.0, inside) / (cell.to_mm - cell.from_mm);
}

void SeamTrial::signals(const Trace& trace, const Standing& before, double width_mm, CellSignals& out) const {
  resize(range_, out);
  for (std::size_t c = range_.from; c < range_.to; ++c) {
    const std::size_t k = c - range_.from;
    const Cell& cell = scene_.cells[c];
    const double haze = before.haze[c];
    out.signal[k] = haze;
    if (trace.ink < 0) continue;
    const double amount = before.amount[c];
    const double density = one_layer(scene_, trace, c);
    const double whole = cell_signal(density, trace.coverage, amount);
    const double changed = overlap_ ? cell_signal(density, trace.coverage, 2 * amount) : 1.0;
    const double part = part_of(cell, width_mm);
    out.signal[k] = haze * ((1 - part) * whole + part * changed);
    // Never without a slope, or a width on a cell's end would pass for one that is not known at all.
    const double end = direction_ > 0 ? end_mm_ + width_mm : end_mm_ - width_mm;
    const bool ends_here =
        direction_ > 0 ? end >= cell.from_mm && end < cell.to_mm : end > cell.from_mm && end <= cell.to_mm;
    if (ends_here) out.slope[k] = haze * (changed - whole) / (cell.to_mm - cell.from_mm);
  }
}

void SeamTrial::apply(double width_mm, InkState& state) const {
  for (std::size_t c = range_.from; c < range_.to; ++c) {
    const Cell& cell = scene_.cells[c];
    if (cell.layers == 0) continue;  // where there is nothing, there is nothing to keep
    const double part = part_of(cell, width_mm);
    for (auto& kept : state.kept) kept[c] *= (1 - part + part * (overlap_ ? 2 : 0)) / cell.layers;
  }
}

}  // namespace scrapetrace::diagnose
