#include "visual/cielab.h"

#include <cmath>
#include <numbers>

namespace scrapetrace::visual {

namespace {

constexpr double kDegree = std::numbers::pi / 180;
constexpr std::array<std::array<double, 3>, 3> kXyzFromLinear{{{0.4124564, 0.3575761, 0.1804375},
                                                               {0.2126729, 0.7151522, 0.0721750},
                                                               {0.0193339, 0.1191920, 0.9503041}}};

double lightness_root(double t) {
  constexpr double kEpsilon = 216.0 / 24389.0;
  constexpr double kKappa = 24389.0 / 27.0;
  return t > kEpsilon ? std::cbrt(t) : (kKappa * t + 16) / 116;
}

double hue_deg(double a, double b) {
  if (a == 0 && b == 0) return 0;
  const double h = std::atan2(b, a) / kDegree;
  return h < 0 ? h + 360 : h;
}

// Hue difference and mean, degrees, the short way round; difference 0 and the sum when a colour has no hue.
struct Hues {
  double difference = 0;
  double mean = 0;
};

Hues compare_hues(double h1, double h2, bool one_is_grey) {
  if (one_is_grey) return {0, h1 + h2};
  double difference = h2 - h1;
  if (difference > 180) difference -= 360;
  if (difference < -180) difference += 360;
  if (std::abs(h1 - h2) <= 180) return {difference, (h1 + h2) / 2};
  return {difference, h1 + h2 < 360 ? (h1 + h2 + 360) / 2 : (h1 + h2 - 360) / 2};
}

double pow7(double x) {
  return std::pow(x, 7);
}

// sqrt(C^7 / (C^7 + 25^7))
double chroma_root(double c) {
  return std::sqrt(pow7(c) / (pow7(c) + pow7(25)));
}

}  // namespace

Lab lab_from_linear(const std::array<double, 3>& rgb) {
  std::array<double, 3> f{};
  for (std::size_t i = 0; i < 3; ++i) {
    const auto& row = kXyzFromLinear[i];
    const double white = row[0] + row[1] + row[2];
    f[i] = lightness_root((row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2]) / white);
  }
  return {116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])};
}

double delta_e_2000(const Lab& p, const Lab& q) {
  const double g = 0.5 * (1 - chroma_root((std::hypot(p.a, p.b) + std::hypot(q.a, q.b)) / 2));
  const double a1 = (1 + g) * p.a;
  const double a2 = (1 + g) * q.a;
  const double c1 = std::hypot(a1, p.b);
  const double c2 = std::hypot(a2, q.b);
  const Hues hue = compare_hues(hue_deg(a1, p.b), hue_deg(a2, q.b), c1 * c2 == 0);
  const double big_h = 2 * std::sqrt(c1 * c2) * std::sin(hue.difference * kDegree / 2);
  const double l = (p.l + q.l) / 2;
  const double c = (c1 + c2) / 2;
  const double t = 1 - 0.17 * std::cos((hue.mean - 30) * kDegree) + 0.24 * std::cos(2 * hue.mean * kDegree) +
                   0.32 * std::cos((3 * hue.mean + 6) * kDegree) -
                   0.20 * std::cos((4 * hue.mean - 63) * kDegree);
  const double turn = 30 * std::exp(-std::pow((hue.mean - 275) / 25, 2));
  const double rotation = -std::sin(2 * turn * kDegree) * 2 * chroma_root(c);
  const double from_mid = std::pow(l - 50, 2);
  const double dl = (q.l - p.l) / (1 + 0.015 * from_mid / std::sqrt(20 + from_mid));
  const double dc = (c2 - c1) / (1 + 0.045 * c);
  const double dh = big_h / (1 + 0.015 * c * t);
  return std::sqrt(dl * dl + dc * dc + dh * dh + rotation * dc * dh);
}

}  // namespace scrapetrace::visual
