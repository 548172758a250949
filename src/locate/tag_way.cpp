#include "locate/tag_way.h"

#include <algorithm>
#include <cmath>

#include "page/coarse_map.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kTagCell_mm = 0.7;
constexpr std::size_t kFewestStrangers = 3;  // one may be a chance pattern, or stand on the scanner's lid

std::string strange_page(const Chart& chart, const std::vector<int>& ids) {
  std::string list;
  for (std::size_t i = 0; i < std::min<std::size_t>(ids.size(), 4); ++i)
    list += (list.empty() ? "" : ", ") + std::to_string(ids[i]);
  return "is another page: it shows the tags " + list + (ids.size() > 4 ? " and more" : "") +
         ", and the chart \"" + chart.name +
         "\" has none of them; give the chart that was made with this page";
}

std::string against_dpi(const PageRaster& raster, const page::RasterFromSheet& map,
                        const LocateOptions& options) {
  const double across = 25.4 * std::hypot(map.ux, map.vx);
  const double along = 25.4 * std::hypot(map.uy, map.vy);
  if (!dpi_given(raster, options) || (!is_off(across, options.dpi) && !is_off(along, options.dpi))) return {};
  return dpi_contradicted(options, raster, across, along, "the print, by its tags,");
}

Resolution resolution_of(const PageRaster& raster, const page::RasterFromSheet& map,
                         const LocateOptions& options) {
  const auto stated = stated_resolutions(raster, options);
  const double across = 25.4 * std::hypot(map.ux, map.vx);
  const double along = 25.4 * std::hypot(map.uy, map.vy);
  if (stated.empty()) return {across, along, "marks", true};
  return *std::min_element(stated.begin(), stated.end(), [&](const Resolution& a, const Resolution& b) {
    return std::abs(a.dpi_across - across) < std::abs(b.dpi_across - across);
  });
}

}  // namespace

TagWay way_by_tags(const Layout& layout, const Chart& chart, const PageRaster& raster,
                   const LocateOptions& options) {
  TagWay out;
  const auto seen = page::detect_chart_tags(layout, chart, raster);
  out.tags = page::place_by_tags(raster, seen);
  if (!out.tags) {
    if (seen.tags.empty() && seen.strangers.size() >= kFewestStrangers)
      out.refusal = strange_page(chart, seen.strangers);
    return out;
  }
  out.way.map = page::raster_from_sheet(out.tags->sheet_from_raster);
  out.way.probability = 1;
  out.resolution = resolution_of(raster, out.way.map, options);
  out.refusal = against_dpi(raster, out.way.map, options);
  const auto coarse = page::make_coarse_map(raster, kTagCell_mm * std::hypot(out.way.map.ux, out.way.map.vx));
  out.way.agreement = page::agreement_with_chart(coarse, layout, chart, raster.grey, out.way.map);
  return out;
}

void rest_on_tags(const PageRaster& raster, const page::TagPlacement& tags, bool edges_seen,
                  page::Placement& place) {
  place.datum = Datum::tags;
  if (edges_seen) return;
  place.map = page::raster_from_sheet(tags.sheet_from_raster);
  place.marks = tags.tags;
  place.residual_mm = tags.residual_mm;
  place.x_sigma_mm = tags.sheet_from_raster.x_sigma(raster.width_px / 2.0, raster.height_px / 2.0);
}

}  // namespace scrapetrace::locate_detail
