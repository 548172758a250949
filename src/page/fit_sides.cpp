#include <algorithm>
#include <cmath>

#include "base/robust.h"
#include "page/rectangle_sides.h"

namespace scrapetrace::page {

namespace {

constexpr std::size_t kFewestPoints = 3;  // per side
constexpr double kLeastSideSigma_mm = 0.005;
constexpr double kShear = 0.0002;   // rad, between x and y sides: scanners are not quite rectangular
constexpr double kPhase_px = 0.2;   // error of a side in phase with the pixels that it crosses slowly
constexpr double kSideHuber = 1.5;  // in robust standard deviations
constexpr double kTukey = 4.7;
constexpr int kHuberRounds = 3;  // first rounds, before the rotation is known
constexpr int kSideRounds = 10;

// A side is t = c - turn * l.
double t_of(const Side& side, const SidePoint& p) {
  return side.axis == 0 ? p.x : p.y;
}
double l_of(const Side& side, const SidePoint& p) {
  return side.axis == 0 ? p.y : -p.x;
}

double weight_of(double residual, double sigma, int round) {
  const double z = std::abs(residual) / sigma;
  if (round < kHuberRounds) return z <= kSideHuber ? 1 : kSideHuber / z;
  return z >= kTukey ? 0 : std::pow(1 - std::pow(z / kTukey, 2), 2);
}

// Weighted sum of slopes over the sides of one kind, and the longest half length.
struct SlopeSums {
  double information = 0;
  double moment = 0;
  double reach_mm = 0;
  // Sides cross the pixel grid in phase with each other, so this part of the error does not average out.
  [[nodiscard]] double variance(double phase_mm) const {
    return 1 / information + std::pow(phase_mm / (2 * reach_mm), 2);
  }
};

struct Line {
  double centre = 0;
  double sigma = 0;
};

Line line_of(const Side& side, double turn) {
  std::vector<double> values;
  for (const SidePoint& p : side.points) values.push_back(t_of(side, p) + turn * l_of(side, p));
  const double centre = median(values);
  return {centre, std::max(kLeastSideSigma_mm, robust_sigma(values, centre))};
}

// One weighted pass over a side: adds to the sums and returns its refined position.
double refine(const Side& side, double turn, int round, SlopeSums& sums, int& points) {
  const Line line = line_of(side, turn);
  double n = 0;
  double t_mean = 0;
  double l_mean = 0;
  std::vector<double> weight;
  for (const SidePoint& p : side.points) {
    const double w = weight_of(t_of(side, p) + turn * l_of(side, p) - line.centre, line.sigma, round);
    weight.push_back(w);
    n += w;
    t_mean += w * t_of(side, p);
    l_mean += w * l_of(side, p);
    if (w > 0) ++points;
  }
  t_mean /= n;
  l_mean /= n;
  for (std::size_t i = 0; i < side.points.size(); ++i) {
    const double l = l_of(side, side.points[i]) - l_mean;
    const double w = weight[i] / (line.sigma * line.sigma);
    sums.information += w * l * l;
    sums.moment -= w * l * (t_of(side, side.points[i]) - t_mean);
    sums.reach_mm = std::max(sums.reach_mm, std::abs(l));
  }
  return t_mean + turn * l_mean;
}

double residual_of(const std::vector<Side>& sides, double turn) {
  for (std::size_t axis = 0; axis < 2; ++axis) {
    std::vector<double> sigma;
    for (const Side& side : sides) {
      if (side.axis == axis && side.points.size() >= kFewestPoints)
        sigma.push_back(line_of(side, turn).sigma);
    }
    if (!sigma.empty()) return median(sigma);
  }
  return 0;
}

}  // namespace

SideFit fit_sides(std::vector<Side>& sides, double px_mm) {
  SideFit fit;
  for (int round = 0; round < kSideRounds; ++round) {
    std::array<SlopeSums, 2> sums;
    fit.points = 0;
    for (Side& side : sides) {
      if (side.points.size() < kFewestPoints) continue;
      side.at_mm = refine(side, fit.turn_rad, round, sums[side.axis], fit.points);
    }
    // The process direction matters; y sides give it only through the scanner's right angle.
    double information = 0;
    double turn = 0;
    for (std::size_t axis = 0; axis < 2; ++axis) {
      if (sums[axis].information <= 0) continue;
      const double shear = axis == 0 ? 0 : kShear;
      const double weight = 1 / (sums[axis].variance(kPhase_px * px_mm) + shear * shear);
      information += weight;
      turn += weight * sums[axis].moment / sums[axis].information;
    }
    if (information <= 0) break;
    fit.turn_rad = turn / information;
  }
  for (Side& side : sides) {
    if (side.points.size() >= kFewestPoints) side.at_mm *= std::cos(fit.turn_rad);
  }
  fit.residual_mm = residual_of(sides, fit.turn_rad);
  return fit;
}

}  // namespace scrapetrace::page
