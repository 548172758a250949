#include "quality/grain.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"

namespace scrapetrace::quality {

namespace {

constexpr double kStretch_mm = 10;
constexpr int kFewestSamples = 16;      // per stretch
constexpr double kBeyondBlur_mm = 0.4;  // samples this far apart share little of the blur
constexpr double kLeastGrain = 4e-4;

// Standard deviation of noise from the median of second differences, which ignores slopes. A computed
// gradient climbs in steps of one code at few places; real jets, paper and scanners have noise everywhere.
double scatter(const float* values, int count, int apart) {
  constexpr double kOfSecondDifference =
      0.6745 * 2.449490;  // their median for white noise, times the square root of 6
  std::vector<double> bends;
  for (int i = 0; i + 2 * apart < count; ++i) {
    bends.push_back(std::abs(static_cast<double>(values[i]) - 2 * static_cast<double>(values[i + apart]) +
                             static_cast<double>(values[i + 2 * apart])));
  }
  return median(bends) / kOfSecondDifference;
}

}  // namespace

double grain(const profile::Strips& strips, const std::vector<profile::InkView>& inked) {
  const int length = std::max(kFewestSamples, static_cast<int>(kStretch_mm / strips.grid.pitch_mm));
  const int apart =
      std::clamp(static_cast<int>(std::lround(kBeyondBlur_mm / strips.grid.pitch_mm)), 1, length / 4);
  std::vector<double> of_views;
  for (const profile::InkView& view : inked) {
    const auto& strip = strips.strips[view.strip];
    std::vector<double> of_stretches;
    for (int i = strip.from; i + length <= strip.to; i += length)
      of_stretches.push_back(scatter(view.loss.data() + i, length, apart));
    if (!of_stretches.empty()) of_views.push_back(median(of_stretches));
  }
  return of_views.empty() ? 1 : median(of_views);
}

std::optional<Issue> no_grain(const profile::Strips& strips, const std::vector<profile::InkView>& inked) {
  if (grain(strips, inked) >= kLeastGrain) return std::nullopt;
  return Issue{
      ScanIssue::drawing,
      "is a drawing, no scan of a print: its areas are even without a trace of what jets, paper and a "
      "scanner leave; print the sheet on the machine and scan the paper"};
}

}  // namespace scrapetrace::quality
