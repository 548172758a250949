#pragma once
// Where the sheet lies in a raster, with its uncertainty, and what was printed on it.

#include <Eigen/Core>
#include <array>
#include <optional>

#include "page/raster_from_sheet.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::page {

// x_mm = p . (1, u, v), y_mm = q . (1, u, v), with the covariance of p from the fit (mm).
struct SheetFromRaster {
  Eigen::Vector3d p = Eigen::Vector3d::Zero();
  Eigen::Vector3d q = Eigen::Vector3d::Zero();
  Eigen::Matrix3d p_covariance = Eigen::Matrix3d::Zero();
  [[nodiscard]] double x(double u, double v) const { return p[0] + p[1] * u + p[2] * v; }
  [[nodiscard]] double y(double u, double v) const { return q[0] + q[1] * u + q[2] * v; }
  [[nodiscard]] double x_sigma(double u, double v) const;
};
SheetFromRaster sheet_from_raster(const RasterFromSheet& map);
RasterFromSheet raster_from_sheet(const SheetFromRaster& map);

struct Placement {
  RasterFromSheet map;
  Chart chart;  // as given, or as found on the scan
  Datum datum = Datum::image_edges;
  double dpi = 0;  // nominal, across
  std::string dpi_source;
  double x_sigma_mm = 0;                  // standard deviation of a sheet x
  std::vector<PlaceError> errors_across;  // where marks placed the sheet
  std::optional<double> jets_moved_mm;    // shift on the drum by matching the jets' pattern
  bool side_touched = false;  // at most one side of the print shows, so the scale across is hardly known
  std::vector<std::array<bool, 2>> touched_sides;  // per patch: ink is missing along x_mm[0], x_mm[1]
  double residual_mm = 0;                          // of the fitted edges
  int marks = 0;
  double blur_px = 0.85;              // standard deviation of the point spread, sampling included
  std::vector<double> patch_blur_px;  // per patch, in its darkest channel; empty or 0: not measured
  double agreement = 0;               // correlation with the chart
  double probability = 1;             // of this orientation
  std::vector<std::string> remarks;   // limits of the answer, sentences without full stop
};

}  // namespace scrapetrace::page
