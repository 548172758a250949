#include "diagnose/visible.h"

#include <algorithm>
#include <cmath>

#include "diagnose/trial_causes.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kVisiblePart = 0.1;  // of the deepest column's loss

template <class Cells, class Middle>
double spread(const Cells& cells, const Middle& middle) {
  double sum = 0;
  double weight = 0;
  for (const auto& c : cells) {
    sum += std::exp(c.log_weight) * middle(c);
    weight += std::exp(c.log_weight);
  }
  if (weight <= 0) return 0;
  const double mean = sum / weight;
  double square = 0;
  for (const auto& c : cells) square += std::exp(c.log_weight) * std::pow(middle(c) - mean, 2);
  return std::sqrt(square / weight);
}

// What is beyond the print's side shows nowhere: a streak that is cut there claims its part on the print
// only.
double claimed_mm(const Scene& scene, const std::vector<double>& losses) {
  const Interval shown = scene.shown_mm();
  double sum = 0;
  for (std::size_t c = 0; c < losses.size(); ++c) {
    const Cell& cell = scene.cells[c];
    sum +=
        losses[c] * std::max(0.0, std::min(cell.to_mm, shown.to_mm) - std::max(cell.from_mm, shown.from_mm));
  }
  return sum;
}

void set_from_losses(const Scene& scene, const std::vector<double>& losses, Explanation& out) {
  out.claimed_mm = claimed_mm(scene, losses);
  const double deepest = *std::max_element(losses.begin(), losses.end());
  std::size_t first = losses.size();
  std::size_t last = 0;
  for (std::size_t c = 0; c < losses.size(); ++c) {
    if (losses[c] < kVisiblePart * deepest) continue;
    first = std::min(first, c);
    last = c;
  }
  if (deepest <= 0 || first > last) return;
  out.visible_mm = {scene.cells[first].from_mm, scene.cells[last].to_mm};
  double sum = 0;
  for (std::size_t c = first; c <= last; ++c) sum += losses[c];
  out.loss = sum / static_cast<double>(last - first + 1);
}

}  // namespace

std::vector<std::size_t> jet_cells(const Scene& scene, std::size_t head, int jet) {
  std::vector<std::size_t> out;
  for (std::size_t k = 0; k < scene.cells.size(); ++k) {
    const auto& owner = scene.cells[k].owner;
    if (owner.head == static_cast<int>(head) && owner.jet == jet) out.push_back(k);
  }
  return out;
}

void describe_visible(const PageContext& page, const Scene& scene, const streak::Region& region,
                      Explanation& out) {
  out.visible_mm = region.x_mm;
  const auto cause =
      static_cast<Cause>(std::max_element(out.causes.begin(), out.causes.end()) - out.causes.begin());
  std::vector<double> losses(scene.cells.size(), 0.0);
  if (cause == Cause::residue) {
    const ResidueCell& c = best_cell(out.residue);
    const auto touches =
        geometry::count_touches(page.layout, page.columns, {c.carriage, c.downstream, c.x_mm, c.width_mm});
    for (std::size_t k = 0; k < losses.size(); ++k) {
      losses[k] =
          1 - std::pow(1 - c.loss, (scene.cells[k].column < 0 ? 0 : touches.at(scene.cells[k].column)));
    }
    out.middle_sigma_mm =
        spread(out.residue.cells, [](const ResidueCell& r) { return r.x_mm + r.width_mm / 2; });
  } else if (cause == Cause::dead_jet) {
    const JetCell& c = best_cell(out.jet);
    for (std::size_t k : jet_cells(scene, c.head, c.jet)) losses[k] = c.loss;
  } else if (cause == Cause::drum_scratch) {
    const BoxCell& c = best_cell(out.scratch);
    InkState state = untouched(page.layout, scene);
    ScratchTrial(scene, c.x_mm).apply(c.strength, state);
    for (std::size_t k = 0; k < losses.size(); ++k) losses[k] = 1 - state.kept.front()[k];
    out.middle_sigma_mm =
        spread(out.scratch.cells, [](const BoxCell& b) { return 0.5 * (b.x_mm.from_mm + b.x_mm.to_mm); });
  } else if (cause == Cause::blade_haze) {
    const BoxCell& c = best_cell(out.haze);
    out.visible_mm = c.x_mm;
    out.loss = -c.strength;
    out.middle_sigma_mm =
        spread(out.haze.cells, [](const BoxCell& b) { return 0.5 * (b.x_mm.from_mm + b.x_mm.to_mm); });
    return;
  } else if (cause == Cause::seam_mismatch) {
    const SeamCell& c = best_cell(out.seam);
    out.visible_mm = c.x_mm;
    out.loss = c.gap_mm < 0 ? -1 : 1;
    return;
  } else {
    for (const auto& t : out.tracks) out.loss = std::max(out.loss, t.mean_loss);
    out.claimed_mm = out.loss * (region.x_mm.to_mm - region.x_mm.from_mm);
    out.middle_sigma_mm = (region.x_mm.to_mm - region.x_mm.from_mm) / std::sqrt(12.0);
    return;
  }
  set_from_losses(scene, losses, out);
}

}  // namespace scrapetrace::diagnose
