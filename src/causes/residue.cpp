#include "causes/residue.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace scrapetrace::diagnose {

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
  out.clear(range_);
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

double residue_density(const geometry::Machine& machine, std::size_t carriage, double x_mm, double width_mm,
                       double elsewhere) {
  double density =
      elsewhere / (machine.layout.drum.width_mm * static_cast<double>(machine.layout.carriages.size()));
  for (const auto& zone : machine.zones) {
    if (machine.layout.heads[zone.head].carriage != carriage) continue;
    const double overlap = std::min(x_mm + width_mm, zone.to_mm) - std::max(x_mm, zone.from_mm);
    if (overlap > 0) density += (1 - elsewhere) * zone.prior_density * overlap / width_mm;
  }
  return density;
}

void apply(const geometry::Machine& machine, const Scene& scene, const ResidueFault& fault, InkState& state) {
  ResidueTrial(scene, geometry::count_touches(machine.layout, machine.columns, fault.contact()))
      .apply(fault.loss, state);
}

}  // namespace scrapetrace::diagnose
