#include "page/refine_placement.h"

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <algorithm>
#include <array>
#include <cmath>

#include "base/robust.h"
#include "page/touched_sides.h"

namespace scrapetrace::page {

namespace {

constexpr double kScalePrior = 0.003;   // relative standard deviation around the nominal scale
constexpr double kAnglePrior = 0.0015;  // rad, around the coarse angle
constexpr double kShearPrior = 0.0003;  // rad, between the axes
constexpr double kFirstReach_mm = 2.0;
constexpr double kShrinks = 0.0035;  // relative: paper never shrinks by more,
constexpr double kAlong = 0.003;     // unless it shrinks along the sheet too
constexpr double kSameSide_mm = 1.0;
constexpr double kLever = 0.5;          // of the print's width: least distance for measuring its scale
constexpr double kFewestOfSide = 0.02;  // of the points across
constexpr double kHuber = 1.5;          // in robust standard deviations

struct LineFit {
  Eigen::Vector3d coefficients;
  Eigen::Matrix3d covariance;  // for unit variance of a point
  double residual_mm = 0;
};

struct Equations {
  Eigen::Matrix3d normal;
  Eigen::Vector3d right;
};

// Sums over (1, u, v), as scalars: vectors of three would be slower.
Equations equations_of(const std::vector<EdgePoint>& points, const std::vector<double>& weight,
                       double point_weight) {
  double n00 = 0, n01 = 0, n02 = 0, n11 = 0, n12 = 0, n21 = 0, n22 = 0, r0 = 0, r1 = 0, r2 = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto& [at_mm, u, v, patch, side, channel] = points[i];
    const double w = point_weight * weight[i];
    n00 += w;
    n01 += w * u;
    n02 += w * v;
    n11 += w * u * u;
    n12 += w * u * v;
    n21 += w * v * u;
    n22 += w * v * v;
    r0 += w * at_mm;
    r1 += w * at_mm * u;
    r2 += w * at_mm * v;
  }
  Equations out;
  out.normal << n00, n01, n02, n01, n11, n12, n02, n21, n22;
  out.right << r0, r1, r2;
  return out;
}

// Fits at_mm = c . (1, u, v) with a prior. `scale_index` is the coefficient of the fitted axis (1 for x, 2
// for y); the other is the angle.
LineFit fit(const std::vector<EdgePoint>& points, const Eigen::Vector3d& prior, Eigen::Index scale_index,
            double angle_prior, double px_span) {
  const double scale = std::abs(prior[scale_index]);
  Eigen::Vector3d prior_weight = Eigen::Vector3d::Zero();
  prior_weight[0] = 1e-4;  // mm^-2: a standard deviation of a hundred millimetres
  prior_weight[scale_index] = 1 / std::pow(kScalePrior * scale, 2);
  prior_weight[3 - scale_index] = 1 / std::pow(angle_prior * scale, 2);
  // The origin's prior is set in the middle of the raster, where scale and origin are uncorrelated.
  const Eigen::Vector3d middle(1, px_span / 2, px_span / 2);

  std::vector<double> weight(points.size(), 1.0);
  Eigen::Vector3d c = prior;
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  double sigma = 0;
  std::vector<double> absolute(points.size());
  for (int round = 0; round < 8; ++round) {
    std::transform(points.begin(), points.end(), absolute.begin(),
                   [&](const EdgePoint& p) { return std::abs(p.at_mm - (c[0] + c[1] * p.u + c[2] * p.v)); });
    sigma = std::max(robust_sigma(absolute, 0), 1e-4);
    if (round > 0) {
      for (std::size_t i = 0; i < points.size(); ++i) {
        weight[i] = absolute[i] <= kHuber * sigma ? 1.0
                    : absolute[i] > 6 * sigma     ? 0.0
                                                  : kHuber * sigma / absolute[i];
      }
    }
    const double point_weight = 1 / std::max(sigma * sigma, 1e-6);
    auto [sums, right] = equations_of(points, weight, point_weight);
    normal = sums;
    normal += prior_weight[0] * middle * middle.transpose();
    right += prior_weight[0] * middle.dot(prior) * middle;
    for (Eigen::Index k = 1; k < 3; ++k) {
      normal(k, k) += prior_weight[k];
      right[k] += prior_weight[k] * prior[k];
    }
    c = normal.ldlt().solve(right);
  }
  return {c, normal.inverse(), sigma};
}

using Touched = std::vector<std::array<bool, 2>>;

// Drops points on sides that a streak touches; true when there were any.
bool drop_touched(const Touched& touched, std::vector<EdgePoint>& points) {
  const auto spoilt = [&](const EdgePoint& p) {
    return p.patch >= 0 && touched[static_cast<std::size_t>(p.patch)][static_cast<std::size_t>(p.side)];
  };
  return std::erase_if(points, spoilt) > 0;
}

// All patches that end at one side of the print.
Touched all_at_side(const Chart& chart, std::size_t side) {
  double end = side == 0 ? 1e300 : -1e300;
  for (const Patch& p : chart.patches) end = side == 0 ? std::min(end, p.x_mm[0]) : std::max(end, p.x_mm[1]);
  Touched out(chart.patches.size());
  for (std::size_t p = 0; p < out.size(); ++p)
    out[p][side] = std::abs(chart.patches[p].x_mm[side] - end) < kSameSide_mm;
  return out;
}

// If the image cuts off one side of the print, the remaining points on that half may lie too close to the
// other side to measure the scale: the error of a corner mark, a fraction of a column, would be extrapolated
// over the whole print. Drops such points; true when a side is cut off.
bool drop_short_levers(const Chart& chart, std::vector<EdgePoint>& points) {
  double from = 1e300;
  double to = -1e300;
  for (const Patch& p : chart.patches) from = std::min(from, p.x_mm[0]), to = std::max(to, p.x_mm[1]);
  const auto near = [](double x_mm) {
    return [x_mm](const EdgePoint& p) { return std::abs(p.at_mm - x_mm) < kSameSide_mm; };
  };
  const auto least = static_cast<std::ptrdiff_t>(kFewestOfSide * static_cast<double>(points.size()));
  const double reach = kLever * (to - from);
  const auto shown =
      std::count_if(points.begin(), points.end(), [&](const EdgePoint& p) { return p.at_mm - from > reach; });
  const auto shown_left =
      std::count_if(points.begin(), points.end(), [&](const EdgePoint& p) { return to - p.at_mm > reach; });
  if (shown > least && shown_left > least) return false;
  const double side = shown > least ? to : from;
  if (std::none_of(points.begin(), points.end(), near(side))) return false;
  std::erase_if(points, [&](const EdgePoint& p) { return !near(side)(p); });
  return true;
}

// Whether freely fitted sides are closer together than the scale allows.
bool too_narrow(const SheetFromRaster& fitted, const SheetFromRaster& nominal) {
  const double across = std::abs(fitted.p[1] / nominal.p[1]) - 1;
  const double along = std::abs(fitted.q[2] / nominal.q[2]) - 1;
  return across > kShrinks && std::abs(along) < kAlong;
}

}  // namespace

RefinedMap refine_placement(const PageRaster& raster, const Layout& layout, const Chart& chart,
                            const RasterFromSheet& coarse, const RefineOptions& options) {
  RefinedMap out;
  out.sheet_from_raster = sheet_from_raster(coarse);
  const double span = 0.5 * (raster.width_px + raster.height_px);
  const SheetFromRaster nominal = out.sheet_from_raster;
  RasterFromSheet map = coarse;
  PatchEdges edges;
  Touched touched = options.left_out ? all_at_side(chart, *options.left_out) : Touched{};
  const PrintedChart printed(layout, chart, raster.grey);
  for (const double reach_mm : {kFirstReach_mm, 0.8, 0.5}) {
    edges = measure_patch_edges(raster, chart, printed, map, {reach_mm, true, options.threads});
    // Touched sides are found after the first round.
    if (touched.empty() && reach_mm < kFirstReach_mm)
      touched = find_touched_sides(raster, chart, printed, map, edges.x,
                                   measure_blur_px(raster, map, edges.x), options.threads);
    if (!touched.empty()) out.side_touched = drop_touched(touched, edges.x);
    if (drop_short_levers(chart, edges.x)) out.side_touched = true;
    if (edges.x.size() + edges.y.size() < 8) break;
    const LineFit y = fit(edges.y, out.sheet_from_raster.q, 2, kAnglePrior, span);
    // Both axes rotate together: p2 / p1 = -q1 / q2.
    Eigen::Vector3d prior_x = out.sheet_from_raster.p;
    if (out.side_touched) prior_x[1] = nominal.p[1];  // one side alone does not give the scale
    prior_x[2] = -y.coefficients[1] / y.coefficients[2] * prior_x[1];
    const bool turn_known = edges.y.size() >= 20;
    if (!turn_known) prior_x[2] = out.sheet_from_raster.p[2];
    const LineFit x = fit(edges.x, prior_x, 1, turn_known ? kShearPrior : kAnglePrior, span);
    out.sheet_from_raster.p = x.coefficients;
    out.sheet_from_raster.q = y.coefficients;
    out.sheet_from_raster.p_covariance = x.covariance;
    out.residual_mm = x.residual_mm;
    map = raster_from_sheet(out.sheet_from_raster);
  }
  out.touched_sides = std::move(touched);
  out.narrow = !out.side_touched && too_narrow(out.sheet_from_raster, nominal);
  out.marks = static_cast<int>(edges.x.size() + edges.y.size());
  const double floor_mm = 0.25 * layout.px_mm() * layout.transfer.scale_cross;
  const double fitted = out.sheet_from_raster.x_sigma(raster.width_px / 2.0, raster.height_px / 2.0);
  out.x_sigma_mm = std::hypot(floor_mm, fitted);
  out.blur_px = measure_blur_px(raster, map, edges.x);
  out.patch_blur_px = measure_patch_blurs_px(raster, map, edges.x, chart.patches.size(), out.blur_px);
  return out;
}

}  // namespace scrapetrace::page
