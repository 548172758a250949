#include "page/match_ink.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"
#include "page/expected_colour.h"

namespace scrapetrace::page {

namespace {

constexpr double kDeepest = 2.4;          // density beyond what scans resolve
constexpr double kDirectionSigma = 0.04;  // relative length of the residual left by the direction
constexpr double kStrengthSigma = 0.2;
constexpr double kPerInk = 0.3;  // cost per additional ink: prefers the simpler of two equals
constexpr double kTint = 1.0;    // cost of a tint: test pages have solids
constexpr double kLargestMisfit = 0.15;
constexpr double kFaint = 0.05;  // density added to lengths, so that faint tints are not held to zero error
constexpr double kDoubt = 1.0;   // cost margin below which a match is doubtful

Rgb density_of(const Rgb& linear) {
  Rgb density{};
  for (std::size_t c = 0; c < 3; ++c) density[c] = std::min(kDeepest, -std::log10(std::max(linear[c], 1e-6)));
  return density;
}

double length(const Rgb& d) {
  return std::sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
}

double misfit(const Rgb& measured, const Rgb& expected) {
  Rgb rest{};
  for (std::size_t c = 0; c < 3; ++c) rest[c] = measured[c] - std::min(kDeepest, expected[c]);
  return length(rest) / (length(measured) + kFaint);
}

Rgb scaled(Rgb density, double strength) {
  for (double& value : density) value *= strength;
  return density;
}

// Adds all solids of one to `most` inks.
void add_combinations(const Layout& layout, std::size_t next, std::size_t most,
                      std::vector<std::string>& inks, std::vector<std::vector<std::string>>& out) {
  for (std::size_t k = next; k < layout.inks.size(); ++k) {
    inks.push_back(layout.inks[k].name);
    out.push_back(inks);
    if (inks.size() < most) add_combinations(layout, k + 1, most, inks, out);
    inks.pop_back();
  }
}

std::vector<std::vector<std::string>> combinations(const Layout& layout, std::size_t most) {
  std::vector<std::vector<std::string>> out;
  std::vector<std::string> inks;
  add_combinations(layout, 0, most, inks, out);
  return out;
}

std::optional<InkMatch> as_solid(const Layout& layout, const std::vector<std::string>& inks,
                                 const Rgb& measured, bool grey, double overall) {
  const Rgb nominal = solid_density(layout, inks, grey);
  double along = 0;
  double square = 0;
  for (std::size_t c = 0; c < 3; ++c) {
    if (measured[c] >= kDeepest) continue;  // a floor, not a measurement
    along += measured[c] * nominal[c];
    square += nominal[c] * nominal[c];
  }
  if (square <= 0) return std::nullopt;
  InkMatch match;
  match.inks = inks;
  match.strength = along / square;
  const double off = misfit(measured, scaled(nominal, match.strength));
  if (off > kLargestMisfit || match.strength < 0.65 * overall || match.strength > 1.4 * overall)
    return std::nullopt;
  match.cost = std::pow(off / kDirectionSigma, 2) +
               std::pow((match.strength / overall - 1) / kStrengthSigma, 2) +
               kPerInk * static_cast<double>(inks.size() - 1);
  return match;
}

std::optional<InkMatch> as_tint(const Layout& layout, const std::string& ink, const Rgb& measured,
                                double overall) {
  const Rgb solid = scaled(solid_density(layout, {ink}, false), overall);
  InkMatch match;
  match.inks = {ink};
  match.strength = overall;
  double best = 1e300;
  for (int percent = 5; percent <= 97; ++percent) {
    const double coverage = percent / 100.0;
    Rgb linear{};
    for (std::size_t c = 0; c < 3; ++c) linear[c] = 1 - coverage + coverage * std::pow(10.0, -solid[c]);
    const double off = misfit(measured, density_of(linear));
    if (off < best) best = off, match.coverage = coverage;
  }
  if (best > kLargestMisfit) return std::nullopt;
  match.cost = std::pow(best / kDirectionSigma, 2) + kTint;
  return match;
}

std::vector<InkMatch> candidates(const Layout& layout, const Rgb& measured, bool grey, double overall) {
  std::vector<InkMatch> out;
  for (const auto& inks : combinations(layout, grey ? 1 : 3)) {
    if (const auto match = as_solid(layout, inks, measured, grey, overall)) out.push_back(*match);
  }
  for (const Ink& ink : layout.inks) {
    if (grey) break;
    if (const auto match = as_tint(layout, ink.name, measured, overall)) out.push_back(*match);
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const InkMatch& a, const InkMatch& b) { return a.cost < b.cost; });
  return out;
}

}  // namespace

std::optional<InkMatch> match_ink(const Layout& layout, const Rgb& linear_over_paper, bool grey,
                                  double overall) {
  const auto found = candidates(layout, density_of(linear_over_paper), grey, overall);
  if (found.empty()) return std::nullopt;
  InkMatch best = found.front();
  for (const InkMatch& other : found) {
    if (other.inks == best.inks) continue;
    best.doubtful = other.cost < best.cost + kDoubt;
    best.other_inks = other.inks;
    break;
  }
  return best;
}

double overall_strength(const Layout& layout, const std::vector<Rgb>& areas, bool grey) {
  std::vector<double> strengths;
  for (const Rgb& linear : areas) {
    const auto found = candidates(layout, density_of(linear), grey, 1.0);
    if (!found.empty() && found.front().coverage == 1) strengths.push_back(found.front().strength);
  }
  return grey || strengths.empty() ? 1 : median(strengths);
}

}  // namespace scrapetrace::page
