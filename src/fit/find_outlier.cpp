#include "fit/find_outlier.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "base/gaussian.h"
#include "base/quantiles.h"

namespace scrapetrace::fit {

namespace {

constexpr double kChecked = 1 - 1e-9;  // leverage below which other samples check one
constexpr double kAsGood = 9.0;        // chi2 over the noise: leaving out another sample fits as well

double two_sided(double t, bool from_residuals, int freedom) {
  if (from_residuals) return 2 * cdf(complement(boost::math::students_t(freedom), t));
  return 2 * gaussian_share(-t);
}

}  // namespace

double quantile_95(bool noise_from_residuals, int degrees_of_freedom) {
  constexpr double kEachSide = 0.025;
  return noise_from_residuals ? student_upper_quantile(kEachSide, degrees_of_freedom)
                              : gaussian_upper_quantile(kEachSide);
}

Wrong find_outlier(const std::vector<Sample>& samples, std::size_t heads, std::optional<double> slope,
                   const Solution& all, const LayoutFitOptions& options) {
  struct Without {
    std::size_t sample;
    double chi2;
  };
  std::vector<Without> without;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    if (all.leverage[i] > kChecked || all.degrees_of_freedom < 1) continue;
    auto fewer = samples;
    fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
    if (const auto solved = solve(fewer, heads, slope)) without.push_back({i, solved->chi2});
  }
  if (without.empty()) return {};
  std::stable_sort(without.begin(), without.end(),
                   [](const Without& a, const Without& b) { return a.chi2 < b.chi2; });
  const int freedom = all.degrees_of_freedom - 1;
  const bool from_residuals = freedom >= kLeastFreedom;
  const double noise2 = from_residuals ? std::max(without[0].chi2 / freedom, 1e-12) : 1.0;
  const double t = std::sqrt(std::max(0.0, all.chi2 - without[0].chi2) / noise2);
  const double p = two_sided(t, from_residuals, freedom) * static_cast<double>(without.size());
  if (p >= options.wrong_place_level) return {};
  if (without.size() > 1 && without[1].chi2 - without[0].chi2 < kAsGood * noise2)
    return {std::nullopt, std::pair{without[0].sample, without[1].sample}};
  return {without[0].sample, std::nullopt};
}

}  // namespace scrapetrace::fit
