#pragma once
// A page placed as the analysis does it: coarse picture, skew, chart, patch edges.

#include <optional>

#include "page/place_on_chart.h"
#include "page/refine_placement.h"
#include "page/skew.h"
#include "support/raster_of.h"

namespace scrapetrace::testing {

constexpr double kCoarseCell_mm = 0.7;

struct Placed {
  page::CoarsePlacement coarse;
  page::RefinedMap refined;
};

// `dpi_known` false: the scale is guessed from the raster's width and searched around.
inline std::optional<Placed> place_page(const PageRaster& raster, const Layout& layout, const Chart& chart,
                                        bool dpi_known = true, int threads = 1) {
  const double dpi = dpi_known ? raster.tag_dpi_across : 25.4 * raster.width_px / chart.sheet_mm[0];
  const auto map = page::make_coarse_map(raster, kCoarseCell_mm * dpi / 25.4, threads);
  page::SkewOptions skew_options;
  skew_options.threads = threads;
  const auto skew = page::estimate_skew(map, skew_options);
  if (!skew) return std::nullopt;
  page::PlaceOptions options;
  options.angle_deg = skew->angle_deg;
  options.px_per_mm_x = options.px_per_mm_y = dpi / 25.4;
  options.scale_known = dpi_known;
  options.ways = page::sheet_orientations(raster.transposed, {});
  options.threads = threads;
  const auto ways = page::place_on_chart(map, layout, chart, raster.grey, options);
  if (ways.empty()) return std::nullopt;
  return Placed{ways.front(),
                page::refine_placement(raster, layout, chart, ways.front().map, {std::nullopt, threads})};
}

}  // namespace scrapetrace::testing
