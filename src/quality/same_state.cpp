#include "quality/same_state.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "base/robust.h"

namespace scrapetrace::quality {

namespace {

constexpr double kDiffersBy = 10;  // robust standard deviations of a bin
constexpr double kLeastLoss = 0.05;
constexpr double kAbsent = 0.25;      // of the other's loss; a fading streak keeps more
constexpr std::ptrdiff_t kReach = 6;  // bins to both sides; registration is far better
constexpr int kFewestBins = 2;

double largest_near(const Across& scan, double x_mm) {
  const auto at = static_cast<std::ptrdiff_t>(std::floor((x_mm - scan.first_mm) / kAcrossBin_mm));
  double largest = -1;
  for (std::ptrdiff_t k = at - kReach; k <= at + kReach; ++k) {
    if (k < 0 || k >= static_cast<std::ptrdiff_t>(scan.loss.size())) return 1;  // not shown, so not missing
    if (scan.views[static_cast<std::size_t>(k)] <= 0) return 1;
    largest = std::max(largest, scan.loss[static_cast<std::size_t>(k)]);
  }
  return largest;
}

double x_of(const Across& scan, std::size_t bin) {
  return scan.first_mm + (static_cast<double>(bin) + 0.5) * kAcrossBin_mm;
}

// Centre of the strongest stretch that `scan` has and all `others` lack.
std::optional<double> only_in(const Across& scan, const std::vector<const Across*>& others) {
  int run = 0;
  for (std::size_t k = 0; k < scan.loss.size(); ++k) {
    const double loss = scan.views[k] > 0 ? scan.loss[k] : 0;
    const bool alone =
        loss > std::max(kLeastLoss, kDiffersBy * scan.noise) &&
        std::all_of(others.begin(), others.end(), [&](const Across* other) {
          return kDiffersBy * other->noise < loss && largest_near(*other, x_of(scan, k)) < kAbsent * loss;
        });
    run = alone ? run + 1 : 0;
    if (run >= kFewestBins) return x_of(scan, k);
  }
  return std::nullopt;
}

Issue different(double x_mm, const char* what) {
  return {ScanIssue::other_sheet,
          std::string(what) + " near X " + std::to_string(std::lround(x_mm)) +
              " mm on the drum, so that they may be of different machines or states: give "
              "together only sheets printed one after the other, and scan this one apart"};
}

}  // namespace

Across across_drum(const profile::Strips& strips, const std::vector<profile::InkView>& views) {
  Across out;
  out.first_mm = kAcrossBin_mm * std::floor(strips.grid.first_mm / kAcrossBin_mm);
  const auto bins = static_cast<std::size_t>(
      std::ceil((strips.grid.at(strips.grid.size) - out.first_mm) / kAcrossBin_mm) + 1);
  out.loss.assign(bins, 0);
  out.views.assign(bins, 0);
  for (const auto& view : views) {
    const auto& strip = strips.strips[view.strip];
    for (int i = strip.from; i < strip.to; ++i) {
      if (!strip.bridged.empty() && strip.bridged[static_cast<std::size_t>(i)]) continue;
      const auto bin = static_cast<std::size_t>((strips.grid.at(i) - out.first_mm) / kAcrossBin_mm);
      out.loss[bin] += static_cast<double>(view.loss[static_cast<std::size_t>(i)]);
      out.views[bin] += 1;
    }
  }
  std::vector<double> seen;
  for (std::size_t k = 0; k < bins; ++k) {
    if (out.views[k] > 0) seen.push_back(out.loss[k] /= out.views[k]);
  }
  if (!seen.empty()) out.noise = robust_sigma(seen, median(seen));
  return out;
}

std::optional<Issue> other_state(const Across& scan, const std::vector<Across>& others) {
  if (others.empty()) return std::nullopt;
  std::vector<const Across*> all;
  for (const Across& other : others) all.push_back(&other);
  if (const auto x = only_in(scan, all))
    return different(*x, "this scan shows a streak that the others lack");
  if (others.size() < 2) return std::nullopt;
  // The others agree on what this one lacks.
  if (const auto x = only_in(others.front(), {&scan})) {
    const bool agreed = std::all_of(others.begin() + 1, others.end(), [&](const Across& other) {
      return largest_near(other, *x) > kDiffersBy * other.noise;
    });
    if (agreed) return different(*x, "this scan lacks a streak that the others show");
  }
  return std::nullopt;
}

}  // namespace scrapetrace::quality
