#include "base/robust.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace scrapetrace {

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double robust_sigma(const std::vector<double>& values, double centre) {
  std::vector<double> deviation;
  deviation.reserve(values.size());
  for (double v : values) deviation.push_back(std::abs(v - centre));
  return 1.4826 * median(std::move(deviation));
}

std::vector<double> running_median(const std::vector<double>& values, std::size_t reach) {
  std::vector<double> out(values.size(), std::numeric_limits<double>::quiet_NaN());
  std::vector<double> sorted;  // the window in order of size: one value enters and one leaves at each step
  const auto enter = [&](double value) {
    if (!std::isnan(value)) sorted.insert(std::upper_bound(sorted.begin(), sorted.end(), value), value);
  };
  const auto leave = [&](double value) {
    if (!std::isnan(value)) sorted.erase(std::lower_bound(sorted.begin(), sorted.end(), value));
  };
  for (std::size_t i = 0; i < std::min(reach, values.size()); ++i) enter(values[i]);
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (i + reach < values.size()) enter(values[i + reach]);
    if (i > reach) leave(values[i - reach - 1]);
    if (!sorted.empty()) out[i] = sorted[sorted.size() / 2];
  }
  return out;
}

double gaussian_upper_quantile(double p) {
  constexpr std::array<double, 6> a = {-3.969683028665376e+01, 2.209460984245205e+02,  -2.759285104469687e+02,
                                       1.383577518672690e+02,  -3.066479806614716e+01, 2.506628277459239e+00};
  constexpr std::array<double, 5> b = {-5.447609879822406e+01, 1.615858368580409e+02, -1.556989798598866e+02,
                                       6.680131188771972e+01, -1.328068155288572e+01};
  constexpr std::array<double, 6> c = {-7.784894002430293e-03, -3.223964580411365e-01, -2.400758277161838e+00,
                                       -2.549732539343734e+00, 4.374664141464968e+00,  2.938163982698783e+00};
  constexpr std::array<double, 4> d = {7.784695709041462e-03, 3.224671290700398e-01, 2.445134137142996e+00,
                                       3.754408661907416e+00};
  if (p > 0.5) return -gaussian_upper_quantile(1 - p);
  double z = 0;
  if (p < 0.02425) {
    const double q = std::sqrt(-2 * std::log(p));
    z = -(((((c[0] * q + c[1]) * q + c[2]) * q + c[3]) * q + c[4]) * q + c[5]) /
        ((((d[0] * q + d[1]) * q + d[2]) * q + d[3]) * q + 1);
  } else {
    const double q = 0.5 - p;
    const double r = q * q;
    z = (((((a[0] * r + a[1]) * r + a[2]) * r + a[3]) * r + a[4]) * r + a[5]) * q /
        (((((b[0] * r + b[1]) * r + b[2]) * r + b[3]) * r + b[4]) * r + 1);
  }
  const double error = 0.5 * std::erfc(z / std::numbers::sqrt2) - p;
  return z + error * std::sqrt(2 * std::numbers::pi) * std::exp(z * z / 2);
}

double student_upper_quantile(double p, double n) {
  if (p > 0.5) return -student_upper_quantile(1 - p, n);
  const double two_sided = 2 * p;
  if (n <= 1) return 1 / std::tan(two_sided * std::numbers::pi / 2);
  if (n == 2) return std::sqrt(2 / (two_sided * (2 - two_sided)) - 2);
  const double a = 1 / (n - 0.5);
  const double b = 48 / (a * a);
  double c = ((20700 * a / b - 98) * a - 16) * a + 96.36;
  const double d = ((94.5 / (b + c) - 3) / b + 1) * std::sqrt(a * std::numbers::pi / 2) * n;
  double x = d * two_sided;
  double y = std::pow(x, 2 / n);
  if (y > 0.05 + a) {
    x = -gaussian_upper_quantile(two_sided / 2);
    y = x * x;
    if (n < 5) c += 0.3 * (n - 4.5) * (x + 0.6);
    c += (((0.05 * d * x - 5) * x - 7) * x - 2) * x + b;
    y = (((((0.4 * y + 6.3) * y + 36) * y + 94.5) / c - y - 3) / b + 1) * x;
    y = std::expm1(a * y * y);
  } else {
    y = ((1 / (((n + 6) / (n * y) - 0.089 * d - 0.822) * (n + 2) * 3) + 0.5 / (n + 4)) * y - 1) * (n + 1) /
            (n + 2) +
        1 / y;
  }
  return std::sqrt(n * y);
}

double chi_square_upper_quantile(double p, double n) {
  const double spread = 2 / (9 * n);
  return n * std::pow(1 - spread + gaussian_upper_quantile(p) * std::sqrt(spread), 3);
}

}  // namespace scrapetrace
