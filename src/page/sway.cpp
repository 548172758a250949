#include "page/sway.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"
#include "page/bend.h"
#include "page/patch_edges.h"
#include "page/shift_rows.h"

namespace scrapetrace::page {

namespace {

constexpr double kStraight_mm =
    0.012;  // robust standard deviation of the points along a straight print's sides
constexpr double kSwayBin_mm = 4;
constexpr double kLength_mm = 25;        // correlation length of a feeder's wander; white gaps are shorter
constexpr double kSwayReach_mm = 1.2;    // largest offset of a row
constexpr std::size_t kFewestBins = 12;  // that both sides show
constexpr double kAgree = 0.35;          // root mean square difference of both sides, relative to the sway
constexpr double kLeastSway_mm = 0.01;   // root mean square; less is small against the jet columns

// Offsets of a print's side from the map, along the raster.
struct Side {
  std::vector<std::vector<double>> bins;
  void add(double v_mm, double dx_mm) {
    const auto bin = static_cast<std::size_t>(v_mm / kSwayBin_mm);
    if (bin < bins.size()) bins[bin].push_back(dx_mm);
  }
};

struct Row {
  double v_mm = 0;
  double left_mm = 0;
  double right_mm = 0;
};

std::vector<Row> rows_of(const PageRaster& raster, const Layout& layout, const Placement& place) {
  const double px_per_mm = std::hypot(place.map.uy, place.map.vy);
  const auto edges = measure_patch_edges(raster, layout, place.chart, place.map, {kSwayReach_mm});
  const SheetFromRaster map = sheet_from_raster(place.map);
  Side left;
  Side right;
  left.bins.resize(static_cast<std::size_t>(raster.height_px / px_per_mm / kSwayBin_mm) + 1);
  right.bins.resize(left.bins.size());
  for (const EdgePoint& p : edges.x)
    (p.side == 0 ? left : right).add(p.v / px_per_mm, map.x(p.u, p.v) - p.at_mm);
  std::vector<Row> out;
  for (std::size_t k = 0; k < left.bins.size(); ++k) {
    if (left.bins[k].size() < 2 || right.bins[k].size() < 2) continue;
    out.push_back(
        {(static_cast<double>(k) + 0.5) * kSwayBin_mm, median(left.bins[k]), median(right.bins[k])});
  }
  return out;
}

double rms(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values) sum += value * value;
  return std::sqrt(sum / static_cast<double>(values.size()));
}

bool both_sway(const std::vector<Row>& rows) {
  std::vector<double> common;
  std::vector<double> apart;
  for (const Row& row : rows) {
    common.push_back(0.5 * (row.left_mm + row.right_mm));
    apart.push_back(0.5 * (row.left_mm - row.right_mm));
  }
  return rms(common) > kLeastSway_mm && rms(apart) < kAgree * rms(common);
}

}  // namespace

std::optional<Unswayed> without_sway(const PageRaster& raster, const Layout& layout, const Placement& place) {
  const bool flat = raster.flattening_sigma_mm > 0 || !raster.bend_sigma_mm.empty();
  if (flat || place.datum != Datum::patch_edges || place.residual_mm < kStraight_mm) return std::nullopt;
  const auto rows = rows_of(raster, layout, place);
  if (rows.size() < kFewestBins || !both_sway(rows)) return std::nullopt;
  std::vector<BendPoint> points;
  for (const Row& row : rows) points.push_back({{0, row.v_mm}, 0.5 * (row.left_mm + row.right_mm)});
  const Bend bend(points, kLength_mm);
  if (bend.amplitude_mm() <= 0) return std::nullopt;
  const double px_per_mm = std::hypot(place.map.uy, place.map.vy);
  const double px_per_x_mm = place.map.ux;
  double least = 0;
  double most = 0;
  auto straight = with_rows_shifted(raster, [&](double v_px) {
    const double dx_mm = bend.dx_mm({0, v_px / px_per_mm});
    least = std::min(least, dx_mm);
    most = std::max(most, dx_mm);
    return std::vector<double>(static_cast<std::size_t>(raster.width_px), -dx_mm * px_per_x_mm);
  });
  return Unswayed{std::move(straight), 0.5 * (most - least)};
}

}  // namespace scrapetrace::page
