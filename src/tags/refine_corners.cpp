#include "tags/refine_corners.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/srgb.h"
#include "tags/tag_pattern.h"

namespace scrapetrace::tags {

namespace {

using Point = std::array<double, 2>;

constexpr int kCrossings = 24;       // per edge
constexpr double kReachCells = 0.8;  // to each side: within the black and the white border
constexpr double kStep_px = 0.25;    // between samples of a crossing
constexpr double kLeastContrast = 0.1;
constexpr int kRounds = 2;

class LinearPicture {
 public:
  explicit LinearPicture(const GreyView& picture) : picture_(picture) {
    for (std::size_t i = 0; i < linear_of_.size(); ++i)
      linear_of_[i] = linear_from_srgb(static_cast<double>(i) / 255);
  }
  // Bilinear; nothing beyond the outermost pixel centres.
  [[nodiscard]] std::optional<double> at(double u, double v) const {
    const double i = u - 0.5;
    const double j = v - 0.5;
    if (!(i >= 0 && j >= 0 && i < picture_.width_px - 1 && j < picture_.height_px - 1)) return std::nullopt;
    const auto i0 = static_cast<std::size_t>(i);
    const auto j0 = static_cast<std::size_t>(j);
    const double s = i - static_cast<double>(i0);
    const double t = j - static_cast<double>(j0);
    return (1 - t) * ((1 - s) * value(i0, j0) + s * value(i0 + 1, j0)) +
           t * ((1 - s) * value(i0, j0 + 1) + s * value(i0 + 1, j0 + 1));
  }

 private:
  [[nodiscard]] double value(std::size_t i, std::size_t j) const {
    return linear_of_[picture_.pixels[j * static_cast<std::size_t>(picture_.width_px) + i]];
  }
  const GreyView& picture_;
  std::array<double, 256> linear_of_{};
};

// Distance from `at` along the unit vector `inward` at which paper turns to black: the sharp edge of equal
// area, independent of blur.
std::optional<double> crossing(const LinearPicture& picture, Point at, Point inward, double reach_px) {
  std::vector<double> samples;
  const int half = static_cast<int>(reach_px / kStep_px);
  for (int k = -half; k <= half; ++k) {
    const auto value = picture.at(at[0] + inward[0] * k * kStep_px, at[1] + inward[1] * k * kStep_px);
    if (!value) return std::nullopt;
    samples.push_back(*value);
  }
  const std::size_t level = std::max<std::size_t>(1, samples.size() / 6);
  double paper = 0;
  double black = 0;
  for (std::size_t k = 0; k < level; ++k) {
    paper += samples[k] / static_cast<double>(level);
    black += samples[samples.size() - 1 - k] / static_cast<double>(level);
  }
  if (paper - black < kLeastContrast * std::max(paper, 0.1)) return std::nullopt;
  double area = -0.5;  // the first sample counts half a step
  for (double s : samples) area += (s - black) / (paper - black);
  return (area - half) * kStep_px;
}

struct Line {
  Point through{};
  Point along{};
};

// A line through the crossings of the edge from a to b; inside is to the right of a to b when v runs down.
std::optional<Line> measure_edge(const LinearPicture& picture, Point a, Point b) {
  const double length = std::hypot(b[0] - a[0], b[1] - a[1]);
  const Point along = {(b[0] - a[0]) / length, (b[1] - a[1]) / length};
  const Point inward = {-along[1], along[0]};
  const double cell = length / kCells;
  std::vector<Point> found;  // (position along the edge, distance inwards)
  for (int k = 0; k < kCrossings; ++k) {
    const double s = cell + (length - 2 * cell) * (k + 0.5) / kCrossings;
    const auto t = crossing(picture, {a[0] + along[0] * s, a[1] + along[1] * s}, inward, kReachCells * cell);
    if (t) found.push_back({s - length / 2, *t});
  }
  if (found.size() < kCrossings / 2) return std::nullopt;
  double n = 0, st = 0, ss = 0, t = 0, s = 0;
  for (const auto& [place, distance] : found) n += 1, s += place, t += distance;
  for (const auto& [place, distance] : found) {
    ss += (place - s / n) * (place - s / n);
    st += (place - s / n) * (distance - t / n);
  }
  const double slope = st / ss;
  const double at_middle = t / n - slope * s / n;
  const Point middle = {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2};
  return Line{{middle[0] + inward[0] * at_middle, middle[1] + inward[1] * at_middle},
              {along[0] + inward[0] * slope, along[1] + inward[1] * slope}};
}

Point meet(const Line& a, const Line& b) {
  const double det = a.along[0] * b.along[1] - a.along[1] * b.along[0];
  const double s =
      ((b.through[0] - a.through[0]) * b.along[1] - (b.through[1] - a.through[1]) * b.along[0]) / det;
  return {a.through[0] + s * a.along[0], a.through[1] + s * a.along[1]};
}

}  // namespace

std::array<Point, 4> refine_corners(const GreyView& view, const std::array<Point, 4>& corners_px) {
  const LinearPicture picture(view);
  std::array<Point, 4> corners = corners_px;
  for (int round = 0; round < kRounds; ++round) {
    std::array<Line, 4> edges;
    for (std::size_t k = 0; k < 4; ++k) {
      const auto edge = measure_edge(picture, corners[k], corners[(k + 1) % 4]);
      if (!edge) return corners_px;
      edges[k] = *edge;
    }
    for (std::size_t k = 0; k < 4; ++k) corners[k] = meet(edges[(k + 3) % 4], edges[k]);
  }
  return corners;
}

}  // namespace scrapetrace::tags
