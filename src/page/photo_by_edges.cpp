#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <utility>

#include "base/robust.h"
#include "page/as_printed.h"
#include "page/patch_edges.h"
#include "page/photo_parameters.h"
#include "scrapetrace/photo.h"

namespace scrapetrace {

namespace {

using page::PhotoNormal;
using page::PhotoParameters;
using page::PhotoUnits;

constexpr double kReach_mm = 2.5;     // largest error of an outline
constexpr std::size_t kFewestX = 40;  // points of edges along the process direction
constexpr std::size_t kFewestY = 40;
constexpr int kRounds = 12;
constexpr double kTukey = 4.7;    // robust standard deviations
constexpr double kTogether = 30;  // points of one edge are correlated: count as this many

// A picture point on a known line of the sheet: x (axis 0) or y (axis 1).
struct Constraint {
  Eigen::Vector2d sheet_mm;
  Eigen::Vector2d picture_px;
  Eigen::Index axis = 0;
};

void add(const std::vector<page::EdgePoint>& edges, Eigen::Index axis, const PhotoMap& map, double from_mm,
         double px_per_mm, std::vector<Constraint>& out) {
  for (const auto& edge : edges) {
    Eigen::Vector2d sheet(from_mm + edge.u / px_per_mm, from_mm + edge.v / px_per_mm);
    const auto at = map.photo_px(sheet[0], sheet[1]);
    sheet[axis] = edge.at_mm;
    out.push_back({sheet, {at[0], at[1]}, axis});
  }
}

// Unit normal of the line's image.
Eigen::Vector2d normal_to(const Constraint& c, const PhotoParameters& p, const PhotoUnits& units) {
  Eigen::Vector2d step = Eigen::Vector2d::Zero();
  step[1 - c.axis] = 0.5;
  const Eigen::Vector2d along =
      page::photo_of(p, units, c.sheet_mm + step) - page::photo_of(p, units, c.sheet_mm - step);
  return Eigen::Vector2d(-along[1], along[0]).normalized();
}

struct Equations {
  PhotoNormal normal;
  PhotoParameters right;
  double sigma_px = 0;
};

Equations equations(const std::vector<Constraint>& constraints, const PhotoParameters& p,
                    const PhotoUnits& units) {
  std::vector<double> misses;
  std::vector<Eigen::Vector2d> across;
  for (const auto& c : constraints) {
    across.push_back(normal_to(c, p, units));
    misses.push_back(across.back().dot(c.picture_px - page::photo_of(p, units, c.sheet_mm)));
  }
  Equations out;
  out.sigma_px = std::max(page::kLeastPhotoSigma_px, robust_sigma(misses, 0));
  out.normal.setZero();
  out.right.setZero();
  for (std::size_t k = 0; k < constraints.size(); ++k) {
    const double z = misses[k] / out.sigma_px / kTukey;
    if (std::abs(z) >= 1) continue;
    const double weight = std::pow(1 - z * z, 2) / (out.sigma_px * out.sigma_px);
    const PhotoParameters row =
        (across[k].transpose() * page::photo_slopes(p, units, constraints[k].sheet_mm)).transpose();
    out.normal += weight * row * row.transpose();
    out.right += weight * misses[k] * row;
  }
  page::add_lens_prior(p, out.normal, out.right);
  return out;
}

// Whether the rectified page shows the sheet with its whole border.
bool is_whole(const Chart& chart, const PageRaster& flat, double px_per_mm, double border_mm) {
  constexpr double kRounding_mm = 0.3;
  for (const auto& [px, mm] :
       {std::pair{flat.width_px, chart.sheet_mm[0]}, {flat.height_px, chart.sheet_mm[1]}}) {
    if (std::abs(px / px_per_mm - mm - 2 * border_mm) > kRounding_mm) return false;
  }
  return true;
}

// Whether points lie on at least two well separated lines.
bool spans(const std::vector<page::EdgePoint>& edges, double least_mm) {
  const auto [low, high] = std::minmax_element(
      edges.begin(), edges.end(), [](const auto& a, const auto& b) { return a.at_mm < b.at_mm; });
  return low != edges.end() && high->at_mm - low->at_mm > least_mm;
}

}  // namespace

std::optional<PhotoMap> photo_map_by_edges(const Layout& layout, const Chart& given,
                                           const PageRaster& picture, const PhotoMap& map,
                                           const PageRaster& flat, double border_mm) {
  const Chart chart = page::as_printed(layout, given);
  const double px_per_mm = flat.tag_dpi_across / 25.4;
  if (!is_whole(chart, flat, px_per_mm, border_mm)) return std::nullopt;
  const auto place = page::make_raster_from_sheet(px_per_mm, px_per_mm, false, false, 0,
                                                  {border_mm * px_per_mm, border_mm * px_per_mm}, {0, 0});
  const auto edges = page::measure_patch_edges(flat, layout, chart, place, {kReach_mm});
  if (edges.x.size() < kFewestX || edges.y.size() < kFewestY) return std::nullopt;
  if (!spans(edges.x, 0.3 * chart.sheet_mm[0]) || !spans(edges.y, 0.2 * chart.sheet_mm[1]))
    return std::nullopt;
  std::vector<Constraint> constraints;
  add(edges.x, 0, map, -border_mm, px_per_mm, constraints);
  add(edges.y, 1, map, -border_mm, px_per_mm, constraints);
  std::vector<Eigen::Vector2d> places;
  for (const auto& c : constraints) places.push_back(c.sheet_mm);
  const auto [width, height] = page::stored_size_px(picture);
  const PhotoUnits units = page::photo_units(places, width, height);
  PhotoParameters p = page::parameters_of(map, units);
  for (int round = 0; round < kRounds; ++round) {
    const Equations e = equations(constraints, p, units);
    const PhotoParameters step = e.normal.ldlt().solve(e.right);
    if (!step.allFinite()) return std::nullopt;
    p += step;
    if (step.norm() < 1e-9) break;
  }
  const Equations last = equations(constraints, p, units);
  PhotoMap out = page::map_of(p, units);
  out.edges = static_cast<int>(constraints.size());
  const PhotoNormal covariance = kTogether * last.normal.inverse();
  out.sigma_mm = page::spread_mm({0, 0}, {chart.sheet_mm[0], chart.sheet_mm[1]}, p, units, covariance);
  return out;
}

bool is_photo(const PhotoMap& map, const Chart& chart) {
  constexpr int kPlaces = 6;
  std::vector<page::PointPair> pairs;
  for (int i = 0; i <= kPlaces; ++i) {
    for (int j = 0; j <= kPlaces; ++j) {
      const Eigen::Vector2d sheet(chart.sheet_mm[0] * i / kPlaces, chart.sheet_mm[1] * j / kPlaces);
      const auto at = map.photo_px(sheet[0], sheet[1]);
      pairs.push_back({sheet, {at[0], at[1]}});
    }
  }
  const auto miss = page::affine_miss(pairs);
  return miss && miss->beyond_scanners();
}

}  // namespace scrapetrace
