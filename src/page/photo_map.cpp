#include <Eigen/LU>
#include <algorithm>
#include <cmath>

#include "page/chart_tags.h"
#include "page/fit_photo.h"
#include "scrapetrace/photo.h"

namespace scrapetrace {

namespace {

using page::PointPair;

constexpr std::size_t kFewestTags = 4;
constexpr double kMostStray_px = 30;     // a lens bends a picture's corners by as much
constexpr double kScannerBend_mm = 0.3;  // root mean square; what scanners bend a page by stays below
constexpr double kExplained = 0.4;       // of that bend, at most, is left when a camera made the picture

double affine_residual_px(const std::vector<PointPair>& pairs, const Eigen::Matrix3d& map) {
  double sum = 0;
  for (const auto& pair : pairs) sum += (page::apply_homography(map, pair.from) - pair.to).squaredNorm();
  return std::sqrt(sum / (2 * static_cast<double>(pairs.size())));
}

}  // namespace

std::optional<PhotoMap> photo_map(const Layout& layout, const Chart& chart, const PageRaster& raster) {
  const auto seen = page::see_tags(layout, chart, raster);
  if (seen.tags.size() < kFewestTags) return std::nullopt;
  const auto tags = page::without_strays(seen.tags, kMostStray_px);
  std::vector<PointPair> pairs;
  for (const auto& tag : tags)
    pairs.insert(pairs.end(), tag.stored_from_sheet.begin(), tag.stored_from_sheet.end());
  const auto affine = page::fit_affine(pairs);
  if (!affine) return std::nullopt;
  const double px_per_mm = std::sqrt(std::abs(affine->topLeftCorner<2, 2>().determinant()));
  const double bend_px = affine_residual_px(pairs, *affine);
  if (bend_px < kScannerBend_mm * px_per_mm) return std::nullopt;
  double width = raster.width_px;
  double height = raster.height_px;
  if (raster.overview.transposed) std::swap(width, height);
  const auto fit = page::fit_photo(tags, width, height);
  if (!fit || fit->residual_px > kExplained * bend_px) return std::nullopt;
  return fit->map;
}

}  // namespace scrapetrace
