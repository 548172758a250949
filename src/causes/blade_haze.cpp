#include "causes/blade_haze.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "causes/boxes.h"

namespace scrapetrace::diagnose {

namespace {

HazeTrial trial_of(const Scene& scene, Interval x_mm) {
  return {scene, 0.5 * (x_mm.from_mm + x_mm.to_mm), x_mm.to_mm - x_mm.from_mm};
}

}  // namespace

HazeTrial::HazeTrial(const Scene& scene, double centre_mm, double fwhm_mm) {
  const double sigma = fwhm_mm / (2 * std::sqrt(2 * std::numbers::ln2));
  range_ = {0, scene.cells.size()};
  for (const Cell& cell : scene.cells) {
    shape_.push_back(std::exp(-0.5 * std::pow((cell.middle_mm() - centre_mm) / sigma, 2)));
  }
}

void HazeTrial::signals(const Trace& /*trace*/, const Standing& before, double density,
                        CellSignals& out) const {
  out.clear(range_);
  for (std::size_t c = 0; c < shape_.size(); ++c) {
    out.signal[c] = before.signal[c] * std::pow(10.0, -density * shape_[c]);
    out.slope[c] = -std::numbers::ln10 * shape_[c] * out.signal[c];
  }
}

void HazeTrial::apply(double density, InkState& state) const {
  for (std::size_t c = 0; c < shape_.size(); ++c) state.haze[c] += density * shape_[c];
}

Hypotheses<HazeFault> search_haze(const SearchContext& context) {
  const bool paper = std::any_of(context.scene().traces.begin(), context.scene().traces.end(),
                                 [](const Trace& t) { return t.ink < 0; });
  if (!paper) return {};
  constexpr double kStart = 0.05;
  // Ends of wide haze matter less, and each trial costs the more: a page's worth once took ten seconds.
  const double step_mm = std::max(0.2, (context.region_mm.to_mm - context.region_mm.from_mm) / 40);
  return search_boxes<HazeFault>(context, step_mm, 2 * context.priors.widest_mm, context.priors.hazes, kStart,
                                 [&](Interval x_mm) { return trial_of(context.scene(), x_mm); });
}

void apply(const geometry::Machine& /*machine*/, const Scene& scene, const HazeFault& fault,
           InkState& state) {
  trial_of(scene, fault.x_mm).apply(fault.density, state);
}

}  // namespace scrapetrace::diagnose
