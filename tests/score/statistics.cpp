#include "score/statistics.h"

#include <algorithm>
#include <cmath>

#include "score/draw.h"

namespace scrapetrace::score {

namespace {

constexpr double kNormal95 = 1.959964;
constexpr int kResamples = 1000;
constexpr double kLevel = 1e-6;  // probabilities this close are level
constexpr double kLeast = 1e-12;

}  // namespace

Estimate share(double hits, int cases) {
  Estimate out;
  out.cases = cases;
  if (cases == 0) return out;
  const double n = cases;
  out.value = hits / n;
  const double zz = kNormal95 * kNormal95;
  const double middle = (out.value + zz / (2 * n)) / (1 + zz / n);
  const double half =
      kNormal95 * std::sqrt(out.value * (1 - out.value) / n + zz / (4 * n * n)) / (1 + zz / n);
  out.low = std::max(0.0, middle - half);
  out.high = std::min(1.0, middle + half);
  return out;
}

Estimate bootstrap_mean(const std::vector<double>& values, std::uint64_t seed) {
  Estimate out;
  out.cases = static_cast<int>(values.size());
  if (values.empty()) return out;
  const auto n = static_cast<double>(values.size());
  for (const double v : values) out.value += v / n;
  std::vector<double> means;
  for (int k = 0; k < kResamples; ++k) {
    Draw draw(seed, static_cast<std::uint64_t>(k));
    double sum = 0;
    for (std::size_t i = 0; i < values.size(); ++i) sum += values[draw.below(values.size())];
    means.push_back(sum / n);
  }
  std::sort(means.begin(), means.end());
  out.low = means[kResamples / 40];
  out.high = means[kResamples - 1 - kResamples / 40];
  return out;
}

namespace {

// Where bins of equal mass end; claims ascend.
std::vector<std::size_t> bin_ends(const std::vector<Claim>& claims, int bins) {
  const auto n = static_cast<double>(claims.size());
  std::vector<std::size_t> out;
  for (int k = 1; k <= bins; ++k) {
    auto to = static_cast<std::size_t>(std::lround(n * k / bins));
    while (to > 0 && to < claims.size() && claims[to].probability == claims[to - 1].probability) ++to;
    if (to > (out.empty() ? 0 : out.back())) out.push_back(to);
  }
  return out;
}

// Calibration errors of drawn outcomes, ascending.
std::vector<double> errors_by_chance(const std::vector<Claim>& claims, const std::vector<std::size_t>& ends,
                                     std::uint64_t seed) {
  std::vector<double> errors;
  for (int k = 0; k < kResamples; ++k) {
    Draw draw(seed, static_cast<std::uint64_t>(k));
    double error = 0;
    std::size_t i = 0;
    for (const std::size_t end : ends) {
      double gap = 0;
      for (; i < end; ++i) gap += claims[i].probability - (draw.chance(claims[i].probability) ? 1 : 0);
      error += std::abs(gap) / static_cast<double>(claims.size());
    }
    errors.push_back(error);
  }
  std::sort(errors.begin(), errors.end());
  return errors;
}

}  // namespace

Calibration calibrate(std::vector<Claim> claims, int bins, std::uint64_t seed) {
  Calibration out;
  if (claims.empty()) return out;
  std::stable_sort(claims.begin(), claims.end(),
                   [](const Claim& a, const Claim& b) { return a.probability < b.probability; });
  const auto n = static_cast<double>(claims.size());
  double base = 0;
  for (const Claim& c : claims) base += c.right ? 1 / n : 0;
  out.uncertainty = base * (1 - base);
  const auto ends = bin_ends(claims, bins);
  const auto by_chance = errors_by_chance(claims, ends, seed);
  for (const double e : by_chance) out.chance_error += e / kResamples;
  out.chance_error_95 = by_chance[kResamples * 95 / 100];
  std::size_t from = 0;
  for (const std::size_t to : ends) {
    double probability = 0;
    int right = 0;
    for (std::size_t i = from; i < to; ++i) {
      probability += claims[i].probability;
      right += claims[i].right ? 1 : 0;
    }
    const auto size = static_cast<double>(to - from);
    ReliabilityBin bin{static_cast<int>(to - from), probability / size,
                       share(right, static_cast<int>(to - from))};
    const double gap = bin.probability - bin.right.value;
    out.reliability += size / n * gap * gap;
    out.resolution += size / n * (bin.right.value - base) * (bin.right.value - base);
    out.calibration_error += size / n * std::abs(gap);
    out.bins.push_back(bin);
    from = to;
  }
  return out;
}

double brier(const std::vector<Claim>& claims) {
  double sum = 0;
  for (const Claim& c : claims) sum += std::pow(c.probability - (c.right ? 1 : 0), 2);
  return claims.empty() ? 0 : sum / static_cast<double>(claims.size());
}

double log_loss(const std::vector<Claim>& claims) {
  double sum = 0;
  for (const Claim& c : claims)
    sum -= std::log(std::max(kLeast, c.right ? c.probability : 1 - c.probability));
  return claims.empty() ? 0 : sum / static_cast<double>(claims.size());
}

double loss_of(const std::vector<double>& given, int truth) {
  constexpr double kLeastBelief = 1e-4;
  const double belief = given.empty() ? 0 : given[static_cast<std::size_t>(truth)];
  return -std::log(std::max(kLeastBelief, belief));
}

std::vector<double> together(const std::vector<double>& a, const std::vector<double>& b) {
  std::vector<double> out(std::max(a.size(), b.size()), 0.0);
  for (const auto* part : {&a, &b}) {
    for (std::size_t k = 0; k < part->size(); ++k) out[k] = 1 - (1 - out[k]) * (1 - (*part)[k]);
  }
  return out;
}

double among_first(const std::vector<double>& probabilities, int truth, int places) {
  if (truth < 0 || probabilities.empty()) return 0;
  const double own = probabilities[static_cast<std::size_t>(truth)];
  if (own <= 0) return 0;
  int above = 0;
  int level = 0;
  for (const double p : probabilities) {
    if (std::abs(p - own) <= kLevel) {
      ++level;
    } else if (p > own) {
      ++above;
    }
  }
  return std::clamp(static_cast<double>(places - above) / level, 0.0, 1.0);
}

}  // namespace scrapetrace::score
