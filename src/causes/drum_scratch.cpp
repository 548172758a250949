#include "causes/drum_scratch.h"

#include <algorithm>

#include "causes/boxes.h"

namespace scrapetrace::diagnose {

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
  out.clear(range_);
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

Hypotheses<ScratchFault> search_scratch(const SearchContext& context) {
  if (context.scene().traces.empty()) return {};
  constexpr double kStart = 0.3;
  return search_boxes<ScratchFault>(context, context.machine.layout.px_mm() / 2, context.priors.widest_mm,
                                    context.priors.scratches, kStart,
                                    [&](Interval x_mm) { return ScratchTrial(context.scene(), x_mm); });
}

void apply(const geometry::Machine& /*machine*/, const Scene& scene, const ScratchFault& fault,
           InkState& state) {
  ScratchTrial(scene, fault.x_mm).apply(fault.loss, state);
}

}  // namespace scrapetrace::diagnose
