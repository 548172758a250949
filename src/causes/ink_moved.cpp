#include "causes/ink_moved.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <vector>

namespace scrapetrace::diagnose {

namespace {

std::vector<bool> shown_cells(const Scene& scene) {
  constexpr double kShown = 0.1;  // of a trace's densest cell
  std::vector<bool> out(scene.cells.size(), false);
  for (const Trace& trace : scene.traces) {
    if (trace.ink < 0) continue;
    const double densest = *std::max_element(trace.density.begin(), trace.density.end());
    for (std::size_t c = 0; c < out.size(); ++c) {
      const double middle = scene.cells[c].middle_mm();
      const auto next = std::lower_bound(trace.x_mm.begin(), trace.x_mm.end(), middle);
      const bool sampled = (next != trace.x_mm.end() && *next - middle < scene.px_mm) ||
                           (next != trace.x_mm.begin() && middle - *std::prev(next) < scene.px_mm);
      out[c] = out[c] || (sampled && trace.density[c] > kShown * densest);
    }
  }
  return out;
}

}  // namespace

double ink_moved(const Scene& scene, const InkState& before, const InkState& after) {
  const std::vector<bool> shown = shown_cells(scene);
  double sum = 0;
  for (std::size_t c = 0; c < scene.cells.size(); ++c) {
    if (!shown[c]) continue;
    const double length = scene.cells[c].to_mm - scene.cells[c].from_mm;
    for (std::size_t i = 0; i < before.kept.size(); ++i)
      sum += length * std::abs(before.kept[i][c] - after.kept[i][c]);
    sum += length * std::abs(before.haze[c] - after.haze[c]);
  }
  return sum;
}

}  // namespace scrapetrace::diagnose
