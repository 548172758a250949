#include "page/placement.h"

#include <Eigen/LU>
#include <cmath>

namespace scrapetrace::page {

double SheetFromRaster::x_sigma(double u, double v) const {
  const Eigen::Vector3d at(1, u, v);
  return std::sqrt(std::max(0.0, at.dot(p_covariance * at)));
}

SheetFromRaster sheet_from_raster(const RasterFromSheet& map) {
  Eigen::Matrix2d linear;
  linear << map.ux, map.uy, map.vx, map.vy;
  const Eigen::Matrix2d inverse = linear.inverse();
  const Eigen::Vector2d origin = -inverse * Eigen::Vector2d(map.u0, map.v0);
  SheetFromRaster out;
  out.p << origin[0], inverse(0, 0), inverse(0, 1);
  out.q << origin[1], inverse(1, 0), inverse(1, 1);
  return out;
}

RasterFromSheet raster_from_sheet(const SheetFromRaster& map) {
  Eigen::Matrix2d linear;
  linear << map.p[1], map.p[2], map.q[1], map.q[2];
  const Eigen::Matrix2d inverse = linear.inverse();
  const Eigen::Vector2d origin = -inverse * Eigen::Vector2d(map.p[0], map.q[0]);
  return {origin[0], inverse(0, 0), inverse(0, 1), origin[1], inverse(1, 0), inverse(1, 1)};
}

}  // namespace scrapetrace::page
