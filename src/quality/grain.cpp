#include "quality/grain.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"

namespace scrapetrace::quality {

namespace {

constexpr double kStretch_mm = 10;
constexpr int kFewestSamples = 16;  // of a stretch
constexpr double kLeastGrain = 2e-4;

// Root mean square about the straight line of least squares.
double scatter(const float* values, int count) {
  double sum = 0;
  double slope = 0;
  double moment = 0;
  const double middle = 0.5 * (count - 1);
  for (int i = 0; i < count; ++i) {
    sum += static_cast<double>(values[i]);
    slope += (i - middle) * static_cast<double>(values[i]);
    moment += (i - middle) * (i - middle);
  }
  double square = 0;
  for (int i = 0; i < count; ++i) {
    const double off = static_cast<double>(values[i]) - sum / count - slope / moment * (i - middle);
    square += off * off;
  }
  return std::sqrt(square / count);
}

}  // namespace

double grain(const profile::Strips& strips, const std::vector<profile::InkView>& inked) {
  const int length = std::max(kFewestSamples, static_cast<int>(kStretch_mm / strips.grid.pitch_mm));
  std::vector<double> of_views;
  for (const profile::InkView& view : inked) {
    const auto& strip = strips.strips[view.strip];
    std::vector<double> of_stretches;
    for (int i = strip.from; i + length <= strip.to; i += length)
      of_stretches.push_back(scatter(view.loss.data() + i, length));
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
