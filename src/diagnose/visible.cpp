#include "diagnose/visible.h"

#include <algorithm>
#include <cmath>

#include "diagnose/round.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kVisiblePart = 0.1;  // of the deepest column's loss

// Standard deviation of the middle of a cause's place, by its hypotheses.
template <class Fault>
double middle_sigma_mm(const Hypotheses<Fault>& found) {
  double sum = 0;
  double weight = 0;
  for (const auto& h : found.all) {
    sum += std::exp(h.log_weight) * h.middle_mm();
    weight += std::exp(h.log_weight);
  }
  if (weight <= 0) return 0;
  const double mean = sum / weight;
  double square = 0;
  for (const auto& h : found.all) square += std::exp(h.log_weight) * std::pow(h.middle_mm() - mean, 2);
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

// Of the ink that loses most, per cell.
std::vector<double> losses_by(const PageContext& page, const Scene& scene, const FoundCauses& found,
                              Cause cause) {
  InkState state = untouched(page.machine.layout, scene);
  apply(page, scene, found, cause, state);
  std::vector<double> out(scene.cells.size(), 0.0);
  for (const auto& kept : state.kept) {
    for (std::size_t c = 0; c < out.size(); ++c) out[c] = std::max(out[c], 1 - kept[c]);
  }
  return out;
}

// No cause that has a place of its own: the region is all that is known.
void describe_region(const streak::Region& region, Explanation& out) {
  const double width_mm = region.x_mm.to_mm - region.x_mm.from_mm;
  for (const auto& t : out.tracks) out.loss = std::max(out.loss, t.mean_loss);
  out.claimed_mm = out.loss * width_mm;
  out.middle_sigma_mm = width_mm / std::sqrt(12.0);
}

}  // namespace

void describe_visible(const PageContext& page, const Scene& scene, const streak::Region& region,
                      Explanation& out) {
  out.visible_mm = region.x_mm;
  const Cause cause = likeliest(out.causes);
  switch (cause) {
    case Cause::residue:
      out.middle_sigma_mm = middle_sigma_mm(out.found.residue);
      break;
    case Cause::drum_scratch:
      out.middle_sigma_mm = middle_sigma_mm(out.found.scratch);
      break;
    case Cause::dead_jet:  // its columns are where they are
      break;
    case Cause::blade_haze:
      out.visible_mm = out.found.haze.best().x_mm;
      out.loss = -out.found.haze.best().density;
      out.middle_sigma_mm = middle_sigma_mm(out.found.haze);
      return;
    case Cause::seam_mismatch:
      out.visible_mm = out.found.seam.best().x_mm;
      out.loss = out.found.seam.best().gap_mm < 0 ? -1 : 1;
      return;
    case Cause::scanner_line:
    case Cause::sheet_damage:
    case Cause::unknown:
      describe_region(region, out);
      return;
  }
  set_from_losses(scene, losses_by(page, scene, out.found, cause), out);
}

}  // namespace scrapetrace::diagnose
