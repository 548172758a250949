#pragma once
// The angle at which straight edges lie in the raster, from the coarse map alone.

#include <optional>

#include "page/coarse_map.h"

namespace scrapetrace::page {

struct SkewOptions {
  double largest_deg = 11.0;  // search range to both sides
  double step_deg = 0.1;
  double edge_step = 0.06;  // smallest change of linear signal from cell to cell that counts as an edge
  int threads = 1;          // the angle does not depend on it
};

struct Skew {
  double angle_deg = 0;  // clockwise positive (v runs down)
  int edges = 0;         // cells that lie on an edge
};

// Projects the edges along every candidate direction and takes the sharpest projection, with a parabola
// through the best three. Nothing when fewer than 100 cells lie on an edge.
std::optional<Skew> estimate_skew(const CoarseMap& map, const SkewOptions& options);

}  // namespace scrapetrace::page
