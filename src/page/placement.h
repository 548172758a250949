#pragma once
// Where the sheet lies in a raster, how sure that is, and what was printed on it.

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
  double x_sigma_mm = 0;                  // of a sheet x read from the scan
  std::vector<PlaceError> errors_across;  // where marks placed the sheet
  std::optional<double> jets_moved_mm;    // what the jets' pattern then moved it by, on the drum
  bool side_touched = false;  // one side of the print shows at most: the scale across is hardly known
  std::vector<std::array<bool, 2>> touched_sides;  // per patch: ink is missing along its x_mm[0], x_mm[1]
  double residual_mm = 0;                          // of the edges the fit used
  int marks = 0;
  double blur_px = 0.85;  // standard deviation of the scan's point spread, pixels, sampling included
  std::vector<double> patch_blur_px;  // the same per patch, in its darkest channel; empty or 0: not measured
  double agreement = 0;               // correlation of the scan with the chart
  double probability = 1;             // that the sheet lies this way round
  std::vector<std::string> remarks;   // that limit the answer, a sentence without its stop each
};

}  // namespace scrapetrace::page
