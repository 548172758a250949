#include <algorithm>
#include <cmath>

#include "page/bend.h"
#include "page/place_by_tags.h"
#include "page/printed_words.h"
#include "page/refine_placement.h"
#include "scrapetrace/photo.h"

namespace scrapetrace {

namespace {

using page::Bend;

constexpr std::size_t kTagsForBend = 6;  // fewer cannot tell a bend from their own noise
constexpr double kNode_mm = 5;           // the bend is taken at places this far apart, straight between them
constexpr int kSigmaPlaces = 33;
constexpr int kEdgesThatPlace = 40;

// Offsets of the tags' middles from a map, in the raster.
std::vector<page::BendPoint> offsets(const PageRaster& raster, const std::vector<page::SeenTag>& tags,
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

// Keys 1981 cubic convolution, a = -1/2; the ends repeat.
double sample(const std::uint16_t* row, int width, double u_px) {
  const double at = u_px - 0.5;
  const int i = static_cast<int>(std::floor(at));
  const double t = at - i;
  const double t2 = t * t;
  const double t3 = t2 * t;
  const auto value = [&](int k) { return static_cast<double>(row[std::clamp(i + k, 0, width - 1)]); };
  return (-0.5 * t3 + t2 - 0.5 * t) * value(-1) + (1.5 * t3 - 2.5 * t2 + 1) * value(0) +
         (-1.5 * t3 + 2 * t2 + 0.5 * t) * value(1) + (0.5 * t3 - 0.5 * t2) * value(2);
}

// How many pixels to the left of its straight place each pixel of a row is to be taken.
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

PageRaster straightened(const PageRaster& raster, const Bend& bend, const page::SheetFromRaster& map,
                        double px_per_mm) {
  PageRaster out = raster;
  for (int b = 0; b < raster.blocks(); ++b) {
    const double v = b * raster.rows_per_block + 0.5 * raster.rows_in(b);
    const auto shifts = shifts_of_row(bend, map, raster.width_px, v, px_per_mm);
    for (int c = 0; c < 3; ++c) {
      const std::uint16_t* from = raster.row(b, c);
      std::uint16_t* to = out.linear.data() + (from - raster.linear.data());
      for (std::size_t u = 0; u < shifts.size(); ++u) {
        const double value = sample(from, raster.width_px, static_cast<double>(u) + 0.5 - shifts[u]);
        to[u] = static_cast<std::uint16_t>(std::lround(std::clamp(value, 0.0, 65535.0)));
      }
    }
  }
  return out;
}

// The largest spread along the page at each of a few places across.
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
  const Chart chart = page::with_printed_words(given);
  const auto seen = page::see_tags(layout, chart, raster);
  const auto placed = page::place_by_tags(raster, seen);
  if (!placed || static_cast<std::size_t>(placed->tags) < kTagsForBend) return std::nullopt;
  const auto coarse = page::raster_from_sheet(placed->sheet_from_raster);
  const double px_per_mm = std::hypot(coarse.ux, coarse.vx);
  const auto refined = page::refine_placement(raster, layout, chart, coarse);
  const auto& map = refined.marks >= kEdgesThatPlace ? refined.sheet_from_raster : placed->sheet_from_raster;
  const auto tags = page::without_strays(seen.tags, 1.5 * px_per_mm);
  const Bend bend(offsets(raster, tags, map, px_per_mm));
  if (bend.amplitude_mm() <= 0) return std::nullopt;
  PageRaster out = straightened(raster, bend, map, px_per_mm);
  out.bend_sigma_mm = spread_across(raster, bend, px_per_mm);
  return out;
}

}  // namespace scrapetrace
