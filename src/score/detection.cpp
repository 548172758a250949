#include "score/detection.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"
#include "score/statistics.h"

namespace scrapetrace::score {

namespace {

constexpr double kNormal90 = 1.281552;

double normal_share(double t) {
  return 0.5 * std::erfc(-t * M_SQRT1_2);
}

}  // namespace

double page_threshold(double page_mm, double narrowest_mm, double widest_mm, double rate) {
  double cells = 0;
  for (double width = narrowest_mm; width <= widest_mm; width *= 2) cells += page_mm / width;
  return gaussian_upper_quantile(rate / std::max(1.0, cells));
}

// Fisher scoring; the curve's steepness is kept above 0, and a curve that runs away says that all or none
// were found.
double d_prime_at_90(const std::vector<Trial>& trials) {
  const auto found = std::count_if(trials.begin(), trials.end(), [](const Trial& t) { return t.found; });
  if (found < 3 || static_cast<std::size_t>(found) + 3 > trials.size()) return 0;
  double a = 0;
  double b = 1;
  double middle = 0;
  for (const Trial& t : trials) middle += std::log(t.d_prime) / static_cast<double>(trials.size());
  for (int k = 0; k < 60; ++k) {
    double ga = 0, gb = 0, haa = 1e-9, hab = 0, hbb = 1e-9;
    for (const Trial& t : trials) {
      const double x = std::log(t.d_prime) - middle;
      const double eta = std::clamp(a + b * x, -6.0, 6.0);
      const double p = std::clamp(normal_share(eta), 1e-9, 1 - 1e-9);
      const double slope = std::exp(-0.5 * eta * eta) / std::sqrt(2 * M_PI);
      const double score = slope * ((t.found ? 1 : 0) - p) / (p * (1 - p));
      const double weight = slope * slope / (p * (1 - p));
      ga += score, gb += score * x;
      haa += weight, hab += weight * x, hbb += weight * x * x;
    }
    const double det = haa * hbb - hab * hab;
    if (det <= 0) return 0;
    a += std::clamp((hbb * ga - hab * gb) / det, -1.0, 1.0);
    b = std::clamp(b + std::clamp((haa * gb - hab * ga) / det, -1.0, 1.0), 0.05, 20.0);
  }
  return std::exp(middle + (kNormal90 - a) / b);
}

DetectionRow detection_row(const std::string& widths, std::vector<Trial> trials, double threshold, int bins) {
  DetectionRow row;
  row.widths = widths;
  row.cases = static_cast<int>(trials.size());
  row.at_90 = d_prime_at_90(trials);
  row.threshold = threshold;
  row.bound_at_90 = threshold + kNormal90;
  std::sort(trials.begin(), trials.end(),
            [](const Trial& x, const Trial& y) { return x.d_prime < y.d_prime; });
  std::size_t from = 0;
  for (int k = 1; k <= bins; ++k) {
    const std::size_t to = trials.size() * static_cast<std::size_t>(k) / static_cast<std::size_t>(bins);
    if (to <= from) continue;
    DetectionBin bin;
    double hits = 0;
    for (std::size_t i = from; i < to; ++i) {
      const auto size = static_cast<double>(to - from);
      bin.d_prime += std::log(trials[i].d_prime) / size;
      bin.bound += matched_filter_share(trials[i].d_prime, threshold) / size;
      hits += trials[i].found ? 1 : 0;
    }
    bin.d_prime = std::exp(bin.d_prime);
    bin.found = share(hits, static_cast<int>(to - from));
    row.bins.push_back(bin);
    from = to;
  }
  return row;
}

}  // namespace scrapetrace::score
