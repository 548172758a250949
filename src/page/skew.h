#pragma once
// The angle of straight edges in the raster, from the coarse map.

#include <optional>

#include "page/coarse_map.h"

namespace scrapetrace::page {

struct SkewOptions {
  double largest_deg = 11.0;  // search range to both sides
  double step_deg = 0.1;
  double edge_step = 0.06;  // least change of linear signal between cells at an edge
  int threads = 1;          // does not change the angle
};

struct Skew {
  double angle_deg = 0;  // clockwise positive (v runs down)
  int edges = 0;         // cells that lie on an edge
};

// Takes the direction of the sharpest edge projection, refined by a parabola through three points. Nothing
// when fewer than 100 cells lie on an edge.
std::optional<Skew> estimate_skew(const CoarseMap& map, const SkewOptions& options);

}  // namespace scrapetrace::page
