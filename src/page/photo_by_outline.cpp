#include <Eigen/LU>
#include <algorithm>
#include <cmath>

#include "page/as_printed.h"
#include "page/coarse_map.h"
#include "page/expected_colour.h"
#include "page/find_outline.h"
#include "page/photo_parameters.h"
#include "scrapetrace/photo.h"

namespace scrapetrace {

namespace {

using page::PointPair;
using page::Quadrangle;

constexpr double kCells = 400;            // along the picture's longer side
constexpr double kLeastAgreement = 0.8;   // correlation with the chart
constexpr double kOutlineSigma_mm = 1.5;  // cell size, lens, and how a sheet is cut and fed
constexpr double kStep_mm = 4;
constexpr int kLevel = 3;  // parameters of a plane of light

struct Sample {
  Eigen::Vector3d place;  // 1, x, y
  Rgb seen{};
  Rgb expected{};
  bool bare = false;
};

std::vector<Sample> samples_of(const page::CoarseMap& map, const Layout& layout, const Chart& chart,
                               bool grey, const Eigen::Matrix3d& raster_from_sheet) {
  const page::ChartImage image(chart);
  std::vector<Rgb> colours;
  for (const Patch& patch : chart.patches) colours.push_back(page::patch_linear(layout, patch, grey));
  std::vector<Sample> out;
  for (double y = kStep_mm / 2; y < chart.sheet_mm[1]; y += kStep_mm) {
    for (double x = kStep_mm / 2; x < chart.sheet_mm[0]; x += kStep_mm) {
      const int patch = image.patch_at(x, y);
      if (patch >= 0 && chart.patches[static_cast<std::size_t>(patch)].inks.empty()) continue;
      const Eigen::Vector2d at = page::apply_homography(raster_from_sheet, {x, y});
      const double i = at[0] / map.px_per_cell_u;
      const double j = at[1] / map.px_per_cell_v;
      if (!(i >= 0 && j >= 0 && i < map.width && j < map.height)) continue;
      const auto& cell = map.at(static_cast<int>(i), static_cast<int>(j));
      Sample sample{{1, x / chart.sheet_mm[0], y / chart.sheet_mm[1]}, {}, {1, 1, 1}, patch < 0};
      for (std::size_t c = 0; c < 3; ++c) sample.seen[c] = static_cast<double>(cell[c]);
      if (patch >= 0) sample.expected = colours[static_cast<std::size_t>(patch)];
      out.push_back(sample);
    }
  }
  return out;
}

// Removes uneven illumination from a channel: a plane fitted to bare paper.
void level(std::vector<Sample>& samples, std::size_t channel) {
  Eigen::Matrix3d normal = 1e-6 * Eigen::Matrix3d::Identity();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  int bare = 0;
  for (const Sample& s : samples) {
    if (!s.bare) continue;
    normal += s.place * s.place.transpose();
    right += s.place * s.seen[channel];
    ++bare;
  }
  if (bare < 3 * kLevel) return;
  const Eigen::Vector3d plane = normal.inverse() * right;
  for (Sample& s : samples) s.seen[channel] /= std::max(0.05, plane.dot(s.place));
}

// Correlation over all channels, uneven illumination removed.
double agreement(std::vector<Sample> samples) {
  if (samples.size() < 100) return 0;
  double n = 0, a = 0, b = 0, aa = 0, bb = 0, ab = 0;
  for (std::size_t c = 0; c < 3; ++c) {
    level(samples, c);
    for (const Sample& s : samples) {
      n += 1, a += s.seen[c], b += s.expected[c];
      aa += s.seen[c] * s.seen[c], bb += s.expected[c] * s.expected[c], ab += s.seen[c] * s.expected[c];
    }
  }
  const double va = aa - a * a / n;
  const double vb = bb - b * b / n;
  return va > 0 && vb > 0 ? (ab - a * b / n) / std::sqrt(va * vb) : 0;
}

Eigen::Vector2d stored_from_raster(const PageRaster& page, Eigen::Vector2d at) {
  if (page.overview.flip_u) at[0] = page.width_px - at[0];
  if (page.overview.flip_v) at[1] = page.height_px - at[1];
  if (page.overview.transposed) std::swap(at[0], at[1]);
  return at;
}

std::optional<PhotoMap> map_from(const PageRaster& page, const std::vector<PointPair>& stored_from_sheet) {
  const auto h = page::fit_homography(stored_from_sheet);
  if (!h) return std::nullopt;
  const auto [width, height] = page::stored_size_px(page);
  PhotoMap map;
  page::set_homography(*h, map);
  map.middle_px = {width / 2, height / 2};
  map.radius_px = 0.5 * std::hypot(width, height);
  map.sigma_mm = kOutlineSigma_mm;
  return map;
}

// Corners of a rectangle of the sheet, clockwise from the lead edge's left.
std::array<Eigen::Vector2d, 4> corners_of(const std::array<double, 2>& x, const std::array<double, 2>& y) {
  return {Eigen::Vector2d(x[0], y[0]), {x[1], y[0]}, {x[1], y[1]}, {x[0], y[1]}};
}

struct Fit {
  double agreement = 0;
  std::vector<PointPair> raster_from_sheet;
};

// Tries each orientation. A camera does not mirror, so the corners keep their sense; a transposed raster
// reverses it.
void try_ways(const page::CoarseMap& map, const Layout& layout, const Chart& chart, const PageRaster& page,
              const Quadrangle& seen, const std::array<Eigen::Vector2d, 4>& sheet, Fit& best) {
  for (std::size_t turn = 0; turn < 4; ++turn) {
    std::vector<PointPair> pairs;
    for (std::size_t k = 0; k < 4; ++k) {
      const std::size_t corner = page.transposed ? (turn + 4 - k) % 4 : (turn + k) % 4;
      pairs.push_back({sheet[k], seen[corner]});
    }
    const auto h = page::fit_homography(pairs);
    if (!h) continue;
    const double agrees = agreement(samples_of(map, layout, chart, page.grey, *h));
    if (agrees > best.agreement) best = {agrees, pairs};
  }
}

}  // namespace

std::optional<PhotoMap> photo_map_by_outline(const Layout& layout, const Chart& given, const PageRaster& page,
                                             const std::optional<PhotoCorners>& corners) {
  const auto whole = corners_of({0, given.sheet_mm[0]}, {0, given.sheet_mm[1]});
  if (corners) {
    std::vector<PointPair> pairs;
    for (std::size_t k = 0; k < 4; ++k)
      pairs.push_back({whole[k], Eigen::Vector2d((*corners)[k][0], (*corners)[k][1])});
    return map_from(page, pairs);
  }
  const Chart chart = page::as_printed(layout, given);
  const auto map = page::make_coarse_map(page, std::max(page.width_px, page.height_px) / kCells);
  const auto outlines = page::find_outlines(map);
  Fit best;
  if (outlines.sheet) try_ways(map, layout, chart, page, *outlines.sheet, whole, best);
  if (outlines.print) {
    const auto print = page::print_rectangle(chart);
    try_ways(map, layout, chart, page, *outlines.print, corners_of(print.x_mm, print.y_mm), best);
  }
  if (best.agreement < kLeastAgreement) return std::nullopt;
  for (auto& pair : best.raster_from_sheet) pair.to = stored_from_raster(page, pair.to);
  return map_from(page, best.raster_from_sheet);
}

}  // namespace scrapetrace
