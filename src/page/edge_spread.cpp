#include "page/edge_spread.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "base/floor_of.h"
#include "base/gaussian.h"

namespace scrapetrace::page {

namespace {

constexpr int kHalf_px = 8;
constexpr int kWideHalf_px = 26;  // for blurs wider than the first window
constexpr double kWide_px = 2.2;  // a quarter of that window
constexpr int kPerPixel = 10;
constexpr double kLeastSpreadStep = 0.3;  // of full scale
constexpr double kLeastSamples = 200;
constexpr double kCleanMeanSquare = 1e-5;  // of the residuals at a clean edge, averaged
constexpr double kNoStep = 8e-3;           // of the residuals: more means the dots of a coarse screen

// Samples of a rising edge in narrow bins that keep their mean position.
struct EdgeSamples {
  explicit EdgeSamples(int half)
      : half_px(half),
        count(static_cast<std::size_t>(2 * half * kPerPixel)),
        position(count.size()),
        value(count.size()) {}
  int half_px;
  std::vector<double> count;
  std::vector<double> position;
  std::vector<double> value;
  double total = 0;

  void add(double at_px, double level) {
    const auto bin = floor_of((at_px + half_px) * kPerPixel);
    if (bin < 0 || bin >= static_cast<int>(count.size())) return;
    const auto b = static_cast<std::size_t>(bin);
    count[b] += 1;
    position[b] += at_px;
    value[b] += level;
    total += 1;
  }
};

struct EdgeFit {
  double sigma = 0;        // 0: no fit
  double mean_square = 0;  // of the residuals
};

// Gauss-Newton for (u0, sigma) of Phi((u - u0) / sigma).
EdgeFit fit_edge(const EdgeSamples& samples) {
  double u0 = 0;
  double sigma = 1;
  double squares = 0;
  for (int round = 0; round < 30; ++round) {
    squares = 0;
    double aa = 0;
    double ab = 0;
    double bb = 0;
    double ra = 0;
    double rb = 0;
    for (std::size_t k = 0; k < samples.count.size(); ++k) {
      if (samples.count[k] == 0) continue;
      const double z = (samples.position[k] / samples.count[k] - u0) / sigma;
      const double residual = samples.value[k] / samples.count[k] - gaussian_share(z);
      const double slope = gaussian_density(z) / sigma;
      const double da = -slope;      // derivative by u0
      const double db = -slope * z;  // derivative by sigma
      aa += samples.count[k] * da * da;
      ab += samples.count[k] * da * db;
      bb += samples.count[k] * db * db;
      ra += samples.count[k] * da * residual;
      rb += samples.count[k] * db * residual;
      squares += samples.count[k] * residual * residual;
    }
    const double det = aa * bb - ab * ab;
    if (!(det > 0)) return {};
    const double step_a = (bb * ra - ab * rb) / det;
    const double step_b = (aa * rb - ab * ra) / det;
    u0 += std::clamp(step_a, -0.5, 0.5);
    sigma = std::clamp(sigma + step_b, 0.5 * sigma, 2 * sigma);
    if (std::abs(step_a) + std::abs(step_b) < 1e-6) break;
  }
  return {sigma, squares / samples.total};
}

// Gathers samples around one edge in one channel.
void gather(const PageRaster& raster, const RasterFromSheet& map, const EdgePoint& edge, int channel,
            EdgeSamples& rising, EdgeSamples& falling) {
  const int b = static_cast<int>(edge.v) / raster.rows_per_block;
  const double at = map.u(edge.at_mm, (edge.v - map.v0 - map.vx * edge.at_mm) / map.vy);
  const int first = static_cast<int>(std::floor(at)) - rising.half_px - 1;
  const int last = first + 2 * rising.half_px + 2;
  if (first < 0 || last >= raster.width_px) return;
  const std::uint16_t* row = raster.row(b, channel);
  const double low = std::min(row[first], row[last]);
  const double step = std::max(row[first], row[last]) - low;
  if (step < kLeastSpreadStep * 65535) return;
  const bool up = row[last] > row[first];
  for (int u = first; u <= last; ++u)
    (up ? rising : falling).add((u + 0.5 - at) * (up ? 1 : -1), (row[u] - low) / step);
}

// Weighted by how well a blurred step fits, since a streak beside an edge spoils the step.
double mean_sigma(const EdgeSamples& rising, const EdgeSamples& falling) {
  double sum = 0;
  double weight = 0;
  for (const EdgeSamples* samples : {&rising, &falling}) {
    if (samples->total < kLeastSamples) continue;
    const EdgeFit fit = fit_edge(*samples);
    if (fit.sigma <= 0 || fit.mean_square > kNoStep) continue;
    const double trust = samples->total / (fit.mean_square + kCleanMeanSquare);
    sum += trust * fit.sigma;
    weight += trust;
  }
  return weight > 0 ? sum / weight : 0;
}

double blur_of(const PageRaster& raster, const RasterFromSheet& map, const std::vector<EdgePoint>& x_edges,
               int half_px) {
  EdgeSamples rising(half_px);
  EdgeSamples falling(half_px);
  for (const EdgePoint& edge : x_edges) {
    for (int channel = 0; channel < 3; ++channel) gather(raster, map, edge, channel, rising, falling);
  }
  return mean_sigma(rising, falling);
}

}  // namespace

double measure_blur_px(const PageRaster& raster, const RasterFromSheet& map,
                       const std::vector<EdgePoint>& x_edges) {
  const double blur_px = blur_of(raster, map, x_edges, kHalf_px);
  if (blur_px < kWide_px) return blur_px;
  const double wide_px = blur_of(raster, map, x_edges, kWideHalf_px);
  return wide_px > 0 ? wide_px : blur_px;
}

std::vector<double> measure_patch_blurs_px(const PageRaster& raster, const RasterFromSheet& map,
                                           const std::vector<EdgePoint>& x_edges, std::size_t patches,
                                           double blur_px) {
  const int half_px = blur_px < kWide_px ? kHalf_px : kWideHalf_px;
  std::vector<EdgeSamples> rising(patches, EdgeSamples(half_px));
  std::vector<EdgeSamples> falling(patches, EdgeSamples(half_px));
  for (const EdgePoint& edge : x_edges) {
    if (edge.patch < 0) continue;
    const auto p = static_cast<std::size_t>(edge.patch);
    gather(raster, map, edge, edge.channel, rising[p], falling[p]);
  }
  std::vector<double> out;
  for (std::size_t p = 0; p < patches; ++p) out.push_back(mean_sigma(rising[p], falling[p]));
  return out;
}

}  // namespace scrapetrace::page
