#include "page/chart_tags.h"
#include "page/fit_photo.h"
#include "page/photo_parameters.h"
#include "scrapetrace/photo.h"

namespace scrapetrace {

namespace {

using page::PointPair;

constexpr std::size_t kFewestTags = 4;
constexpr double kMostStray_px = 30;  // a lens displaces a picture's corners by as much
constexpr double kExplained = 0.4;    // largest share of the page's distortion that a camera model may leave

}  // namespace

std::optional<PhotoMap> photo_map(const Layout& layout, const Chart& chart, const PageRaster& raster) {
  const auto seen = page::detect_chart_tags(layout, chart, raster);
  if (seen.tags.size() < kFewestTags) return std::nullopt;
  const auto tags = page::without_outliers(seen.tags, kMostStray_px);
  std::vector<PointPair> pairs;
  for (const auto& tag : tags)
    pairs.insert(pairs.end(), tag.stored_from_sheet.begin(), tag.stored_from_sheet.end());
  const auto miss = page::affine_miss(pairs);
  if (!miss || !miss->beyond_scanners()) return std::nullopt;
  const auto [width, height] = page::stored_size_px(raster);
  const auto fit = page::fit_photo(tags, width, height);
  if (!fit || fit->residual_px > kExplained * miss->rms_px) return std::nullopt;
  return fit->map;
}

}  // namespace scrapetrace
