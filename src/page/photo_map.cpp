#include "page/chart_tags.h"
#include "page/fit_photo.h"
#include "page/photo_parameters.h"
#include "scrapetrace/photo.h"

namespace scrapetrace {

namespace {

using page::PointPair;

constexpr std::size_t kFewestTags = 4;
constexpr double kMostStray_px = 30;  // a lens bends a picture's corners by as much
constexpr double kExplained = 0.4;    // of the page's bend, at most, is left when a camera made the picture

}  // namespace

std::optional<PhotoMap> photo_map(const Layout& layout, const Chart& chart, const PageRaster& raster) {
  const auto seen = page::see_tags(layout, chart, raster);
  if (seen.tags.size() < kFewestTags) return std::nullopt;
  const auto tags = page::without_strays(seen.tags, kMostStray_px);
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
