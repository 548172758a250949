#include "quality/chart_issues.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "base/parallel.h"
#include "base/robust.h"
#include "page/expected_colour.h"

namespace scrapetrace::quality {

namespace {

using Density = std::array<double, 3>;

constexpr double kAnotherHue = 0.92;  // cosine of seen and expected densities; below, the hue differs
constexpr double kLike = 0.95;        // another area's inks are accepted from this cosine
constexpr double kHalfPrinted = 0.7;  // of the density of the area's densest strip
constexpr double kLeastDensity = 0.1;

double length(const Density& d) {
  return std::sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
}

double cosine(const Density& a, const Density& b) {
  const double lengths = length(a) * length(b);
  return lengths > 0 ? (a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) / lengths : 0;
}

double middle(const profile::Strip& strip, std::size_t channel) {
  const auto& all = strip.linear[channel];
  std::vector<double> seen(all.begin() + strip.from, all.begin() + strip.to);
  return seen.empty() ? 0 : median(seen);
}

// Per strip.
std::vector<Density> middles_of(const profile::Strips& strips, int threads) {
  std::vector<Density> out(strips.strips.size());
  for_each_part(out.size(), threads, [&](std::size_t s) {
    for (std::size_t c = 0; c < out[s].size(); ++c) out[s][c] = middle(strips.strips[s], c);
  });
  return out;
}

Density paper_of(const profile::Strips& strips, const std::vector<Density>& middles) {
  Density out{1, 1, 1};
  for (std::size_t c = 0; c < out.size(); ++c) {
    std::vector<double> bare;
    for (std::size_t s = 0; s < middles.size(); ++s) {
      const auto& strip = strips.strips[s];
      if (strip.patch < 0 && strip.to > strip.from) bare.push_back(middles[s][c]);
    }
    if (!bare.empty()) out[c] = std::max(0.05, median(bare));
  }
  return out;
}

Density density(const Density& linear, const Density& paper) {
  Density out{};
  for (std::size_t c = 0; c < out.size(); ++c)
    out[c] = std::max(0.0, -std::log10(std::max(1e-3, linear[c] / paper[c])));
  return out;
}

std::string joined(const std::vector<std::string>& inks) {
  std::string out;
  for (const std::string& ink : inks) out += (out.empty() ? "" : " + ") + ink;
  return out;
}

std::string place_of(const Patch& patch) {
  return "the printed area at " + std::to_string(std::lround(patch.y_mm[0])) + " to " +
         std::to_string(std::lround(patch.y_mm[1])) + " mm from the lead edge";
}

// What the strips show of each patch.
struct Seen {
  std::vector<Density> strips;
  [[nodiscard]] Density typical() const {
    Density out{};
    for (std::size_t c = 0; c < out.size(); ++c) {
      std::vector<double> values;
      for (const Density& d : strips) values.push_back(d[c]);
      out[c] = median(values);
    }
    return out;
  }
};

std::vector<Seen> seen_of(const profile::Strips& strips, const Chart& chart, int threads) {
  const auto middles = middles_of(strips, threads);
  const Density paper = paper_of(strips, middles);
  std::vector<Seen> out(chart.patches.size());
  for (std::size_t s = 0; s < middles.size(); ++s) {
    const auto& strip = strips.strips[s];
    if (strip.patch < 0 || strip.to <= strip.from) continue;
    out[static_cast<std::size_t>(strip.patch)].strips.push_back(density(middles[s], paper));
  }
  return out;
}

// The patch whose inks match a colour that does not match its own.
std::optional<std::size_t> other_inks(const Density& seen, std::size_t own,
                                      const std::vector<Density>& expected) {
  const double like_own = cosine(seen, expected[own]);
  if (like_own > kAnotherHue || length(seen) < kLeastDensity) return std::nullopt;
  const auto best =
      std::max_element(expected.begin(), expected.end(),
                       [&](const Density& a, const Density& b) { return cosine(seen, a) < cosine(seen, b); });
  if (cosine(seen, *best) < kLike) return std::nullopt;
  return static_cast<std::size_t>(best - expected.begin());
}

std::optional<std::string> wrong_ink(const std::vector<Seen>& seen, const Chart& chart,
                                     const Layout& layout) {
  std::vector<Density> expected;
  for (const Patch& patch : chart.patches) expected.push_back(page::solid_density(layout, patch.inks, false));
  for (std::size_t p = 0; p < seen.size(); ++p) {
    if (seen[p].strips.empty()) continue;
    const auto other = other_inks(seen[p].typical(), p, expected);
    if (!other) continue;
    return place_of(chart.patches[p]) + " is " + joined(chart.patches[p].inks) + " on the chart \"" +
           chart.name + "\", but looks like " + joined(chart.patches[*other].inks) +
           " on the scan, so that inks and jets may be named wrongly: give the chart that was printed";
  }
  return std::nullopt;
}

std::optional<std::string> wrong_length(const std::vector<Seen>& seen, const Chart& chart) {
  for (std::size_t p = 0; p < seen.size(); ++p) {
    std::vector<double> densities;
    for (const Density& d : seen[p].strips) densities.push_back(length(d));
    if (densities.size() < 2) continue;
    const double most = *std::max_element(densities.begin(), densities.end());
    if (most < kLeastDensity || *std::min_element(densities.begin(), densities.end()) > kHalfPrinted * most)
      continue;
    return place_of(chart.patches[p]) + " is not printed over the length that the chart \"" + chart.name +
           "\" gives it: give the chart that was printed";
  }
  return std::nullopt;
}

}  // namespace

std::vector<std::string> chart_doubts(const profile::Strips& strips, const Chart& chart, const Layout& layout,
                                      bool grey, int threads) {
  const auto seen = seen_of(strips, chart, threads);
  std::vector<std::string> out;
  if (!grey) {
    if (auto doubt = wrong_ink(seen, chart, layout)) out.push_back(std::move(*doubt));
  }
  if (auto doubt = wrong_length(seen, chart)) out.push_back(std::move(*doubt));
  return out;
}

}  // namespace scrapetrace::quality
