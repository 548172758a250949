#include "locate/seam_steps.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "base/robust.h"

namespace scrapetrace::locate_detail {

namespace {

// How far a gap may seem to be from its width, at least and besides what the layout is not known better, and
// in standard deviations of what the same interval shows all over the print, where there is no seam.
constexpr double kLeast_mm = 0.03;
constexpr double kGapSigmas = 4;
constexpr double kEnd_mm = 0.4;       // beside the interval, to tell what lies about it
constexpr double kStepOnly_mm = 0.5;  // of reach: so wide an interval may hold more than the step

// Signal over its baseline at the samples [from, to).
std::vector<double> relative(const profile::InkView& view, int from, int to) {
  std::vector<double> out;
  for (int i = from; i < to; ++i) {
    const auto k = static_cast<std::size_t>(i);
    out.push_back(static_cast<double>(view.value[k]) / static_cast<double>(view.base[k]));
  }
  return out;
}

// A scrape that begins beside a step brightens that side, and must not pass for a wider step: then the other
// side's level is believed.
double level_between(double left, double right) {
  constexpr double kUnevenJets = 0.06;  // jets beside each other differ by less
  return std::abs(left - right) > kUnevenJets ? std::min(left, right) : 0.5 * (left + right);
}

double mean(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

}  // namespace

double gap_tolerance_mm(const Layout& layout) {
  return std::max(kLeast_mm, std::numbers::sqrt2 * layout.tolerance.place_mm);
}

Interval around(const geometry::SeamEnds& ends, double reach_mm) {
  const auto [low, high] = std::minmax(ends.left_mm, ends.right_mm);
  return {low - reach_mm, high + reach_mm};
}

std::optional<double> shown_gap_mm(const profile::PreparedScan& scan, Interval x_mm) {
  const profile::Grid& grid = scan.strips.grid;
  const int from = static_cast<int>(std::floor(grid.index(x_mm.from_mm)));
  const int to = static_cast<int>(std::ceil(grid.index(x_mm.to_mm))) + 1;
  const int end = std::max(1, static_cast<int>(std::lround(kEnd_mm / grid.pitch_mm)));
  double lit = 0;  // light gained, times what a millimetre of paper gives, and that squared: by views
  double bare = 0;
  double doubled = 0;
  for (const profile::InkView& view : scan.views.inked) {
    const profile::Strip& strip = scan.strips.strips[view.strip];
    if (view.coverage < 1 || from - end < strip.from || to + end > strip.to) continue;
    const auto base = static_cast<double>(view.base[static_cast<std::size_t>((from + to) / 2)]);
    const double beside =
        level_between(median(relative(view, from - end, from)), median(relative(view, to, to + end)));
    const double more = base * (mean(relative(view, from, to)) - beside) * (to - from) * grid.pitch_mm;
    const double ink = 1 - base;  // that light gains where there is none; where it is doubled it loses
    lit += strip.rows * ink * more;
    bare += strip.rows * ink * ink;
    doubled += strip.rows * ink * ink * base;
  }
  if (bare <= 0) return std::nullopt;
  return lit > 0 ? lit / bare : lit / std::max(doubled, 1e-9);
}

double gap_error_mm(const profile::PreparedScan& scan, double length_mm) {
  const profile::Grid& grid = scan.strips.grid;
  std::vector<double> gaps;
  for (double x_mm = grid.at(0); x_mm + length_mm < grid.at(grid.size - 1); x_mm += length_mm) {
    if (const auto gap_mm = shown_gap_mm(scan, {x_mm, x_mm + length_mm})) gaps.push_back(*gap_mm);
  }
  return kGapSigmas * robust_sigma(gaps, median(gaps));
}

std::vector<Interval> seam_steps(const geometry::Machine& machine, double reach_mm) {
  return explained_steps(machine, {}, reach_mm);
}

std::vector<Interval> explained_steps(const geometry::Machine& machine,
                                      const std::vector<const profile::PreparedScan*>& scans,
                                      double reach_mm) {
  std::vector<Interval> steps;
  const double known_to_mm = gap_tolerance_mm(machine.layout);
  for (const geometry::SeamEnds& ends : geometry::stand_offs(machine.layout, machine.columns)) {
    const double known_mm = ends.gap_mm();
    const Interval step = around(ends, reach_mm);
    const bool explained = std::all_of(scans.begin(), scans.end(), [&](const profile::PreparedScan* scan) {
      if (!scan->light_adds_up) return true;  // light that was sharpened does not add up
      const auto shown_mm = shown_gap_mm(*scan, step);
      if (!shown_mm) return reach_mm < kStepOnly_mm;
      const double beside_mm = std::abs(*shown_mm - known_mm);
      return beside_mm < known_to_mm || beside_mm < gap_error_mm(*scan, step.to_mm - step.from_mm);
    });
    if (explained) steps.push_back(step);
  }
  return steps;
}

}  // namespace scrapetrace::locate_detail
