#include <algorithm>
#include <cmath>

#include "page/as_printed.h"
#include "page/bend.h"
#include "page/place_by_tags.h"
#include "page/refine_placement.h"
#include "page/shift_rows.h"
#include "scrapetrace/photo.h"

namespace scrapetrace {

namespace {

using page::Bend;

constexpr std::size_t kTagsForBend = 6;  // fewer cannot separate a bend from noise
constexpr double kNode_mm = 5;           // spacing of the nodes of the bend, linear between them
constexpr int kSigmaPlaces = 33;
constexpr int kEdgesThatPlace = 40;

// Offsets of tag centres from a map, in the raster.
std::vector<page::BendPoint> offsets(const PageRaster& raster, const std::vector<page::DetectedTag>& tags,
                                     const page::SheetFromRaster& map, double px_per_mm) {
  std::vector<page::BendPoint> out;
  for (const auto& tag : tags) {
    Eigen::Vector2d at = Eigen::Vector2d::Zero();
    double x_mm = 0;
    for (const auto& corner : tag.stored_from_sheet) {
      at += page::raster_from_stored(raster, corner.to) / 4;
      x_mm += corner.from[0] / 4;
    }
    out.push_back({at / px_per_mm, x_mm - map.x(at[0], at[1])});
  }
  return out;
}

// Shift to the left of each pixel of a row.
std::vector<double> shifts_of_row(const Bend& bend, const page::SheetFromRaster& map, int width_px,
                                  double v_px, double px_per_mm) {
  const int nodes = std::max(2, static_cast<int>(width_px / px_per_mm / kNode_mm) + 2);
  const double step = static_cast<double>(width_px) / (nodes - 1);
  std::vector<double> at_node;
  for (int k = 0; k < nodes; ++k)
    at_node.push_back(bend.dx_mm(Eigen::Vector2d(k * step, v_px) / px_per_mm) / map.p[1]);
  std::vector<double> out;
  for (int u = 0; u < width_px; ++u) {
    const double place = (u + 0.5) / step;
    const auto k = static_cast<std::size_t>(place);
    out.push_back(at_node[k] + (place - static_cast<double>(k)) * (at_node[k + 1] - at_node[k]));
  }
  return out;
}

// Largest standard deviation along the page at a few places across.
std::vector<double> spread_across(const PageRaster& raster, const Bend& bend, double px_per_mm) {
  std::vector<double> out;
  for (int k = 0; k < kSigmaPlaces; ++k) {
    double worst = 0;
    for (int j = 0; j < kSigmaPlaces; ++j) {
      const Eigen::Vector2d at(raster.width_px * k / (kSigmaPlaces - 1.0),
                               raster.height_px * j / (kSigmaPlaces - 1.0));
      worst = std::max(worst, bend.sigma_mm(at / px_per_mm));
    }
    out.push_back(worst);
  }
  return out;
}

}  // namespace

std::optional<PageRaster> straighten_page(const Layout& layout, const Chart& given,
                                          const PageRaster& raster) {
  const Chart chart = page::as_printed(layout, given);
  const auto seen = page::detect_chart_tags(layout, chart, raster);
  const auto placed = page::place_by_tags(raster, seen);
  if (!placed || static_cast<std::size_t>(placed->tags) < kTagsForBend) return std::nullopt;
  const auto coarse = page::raster_from_sheet(placed->sheet_from_raster);
  const double px_per_mm = std::hypot(coarse.ux, coarse.vx);
  const auto refined = page::refine_placement(raster, layout, chart, coarse);
  const auto& map = refined.marks >= kEdgesThatPlace ? refined.sheet_from_raster : placed->sheet_from_raster;
  const auto tags = page::without_outliers(seen.tags, 1.5 * px_per_mm);
  const Bend bend(offsets(raster, tags, map, px_per_mm));
  if (bend.amplitude_mm() <= 0) return std::nullopt;
  PageRaster out = page::with_rows_shifted(
      raster, [&](double v_px) { return shifts_of_row(bend, map, raster.width_px, v_px, px_per_mm); });
  out.bend_sigma_mm = spread_across(raster, bend, px_per_mm);
  return out;
}

}  // namespace scrapetrace
