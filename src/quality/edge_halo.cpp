#include <algorithm>
#include <array>
#include <cmath>

#include "page/patch_edges.h"
#include "quality/placed_issues.h"

namespace scrapetrace::quality {

namespace {

constexpr int kNear_px = kHaloReach_px;
constexpr int kFar_px = 13;  // the level is the mean of pixels between these two
constexpr double kLeastStep = 0.25;
constexpr double kFewest = 60;  // blocks of rows, to average out noise
constexpr auto kBins = static_cast<std::size_t>(2 * kNear_px);

// Mean normalised edge (0 ink, 1 paper) per whole pixel from the edge towards paper.
struct MeanEdge {
  std::array<double, kBins> sum{};
  std::array<double, kBins> count{};
  double edges = 0;
};

void add(const PageRaster& raster, const page::EdgePoint& edge, MeanEdge& mean) {
  const auto at = static_cast<int>(std::floor(edge.u));
  if (at - kFar_px < 0 || at + kFar_px >= raster.width_px) return;
  const std::uint16_t* row = raster.row(static_cast<int>(edge.v) / raster.rows_per_block, edge.channel);
  double left = 0;
  double right = 0;
  for (int k = kNear_px; k < kFar_px; ++k) left += row[at - k], right += row[at + k];
  const double low = std::min(left, right) / (kFar_px - kNear_px);
  const double step = std::abs(right - left) / (kFar_px - kNear_px);
  if (step < kLeastStep * 65535) return;
  for (int u = at - kNear_px + 1; u < at + kNear_px; ++u) {
    const double towards_paper = (u + 0.5 - edge.u) * (right > left ? 1 : -1);
    const auto bin = static_cast<int>(std::floor(towards_paper + kNear_px));
    if (bin < 0 || bin >= static_cast<int>(kBins)) continue;
    mean.sum[static_cast<std::size_t>(bin)] += (row[u] - low) / step;
    mean.count[static_cast<std::size_t>(bin)] += 1;
  }
  mean.edges += 1;
}

}  // namespace

double edge_halo(const PageRaster& raster, const Layout& layout, const page::Placement& place, int threads) {
  page::EdgeSearch search;
  search.across = false;
  search.threads = threads;
  const auto edges = page::measure_patch_edges(raster, layout, place.chart, place.map, search);
  MeanEdge mean;
  for (const page::EdgePoint& edge : edges.x) {
    // A tint's halftone dots lie in rows and would look like a halo.
    if (place.chart.patches[static_cast<std::size_t>(edge.patch)].coverage == 1) add(raster, edge, mean);
  }
  if (mean.edges < kFewest) return 0;
  double halo = 0;
  for (std::size_t bin = 0; bin < kBins; ++bin) {
    if (mean.count[bin] < mean.edges / 4) continue;
    const double level = mean.sum[bin] / mean.count[bin];
    halo = std::max({halo, level - 1, -level});
  }
  return halo;
}

}  // namespace scrapetrace::quality
