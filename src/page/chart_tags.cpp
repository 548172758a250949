#include "page/chart_tags.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>

#include "page/printed_chart.h"
#include "tags/find_tags.h"
#include "tags/tag_pattern.h"

namespace scrapetrace::page {

namespace {

constexpr double kOutlier = 5;  // times the median residual

std::vector<std::uint8_t> mirrored_rows(const Overview& overview) {
  std::vector<std::uint8_t> out(overview.grey.size());
  const auto width = static_cast<std::size_t>(overview.width);
  for (std::size_t row = 0; row < static_cast<std::size_t>(overview.height); ++row) {
    const auto begin = overview.grey.begin() + static_cast<std::ptrdiff_t>(row * width);
    std::reverse_copy(begin, begin + static_cast<std::ptrdiff_t>(width),
                      out.begin() + static_cast<std::ptrdiff_t>(row * width));
  }
  return out;
}

// Tag detections in overview cells, undoing the mirroring.
std::vector<tags::Sighting> sightings_in(const Overview& overview, bool mirrored) {
  const auto picture = mirrored ? mirrored_rows(overview) : overview.grey;
  auto found = tags::find_tags({overview.width, overview.height, picture});
  if (!mirrored) return found;
  for (auto& sighting : found) {
    for (auto& corner : sighting.corners_px) corner[0] = overview.width - corner[0];
  }
  return found;
}

// The corners as printed: a column is inked when its centre lies in the tag.
std::array<Eigen::Vector2d, 4> corners_on_sheet(const Layout& layout, const Mark& mark) {
  const double half = mark.size_mm / 2;
  std::array<double, 2> x = {mark.center_mm[0] - half, mark.center_mm[0] + half};
  const std::array<double, 2> y = {mark.center_mm[1] - half, mark.center_mm[1] + half};
  const auto printed = printed_x_range(layout, {tags::dark_inks(layout), x, y, 1.0});
  if (printed[0] < printed[1]) x = printed;
  return {Eigen::Vector2d(x[0], y[0]), {x[1], y[0]}, {x[1], y[1]}, {x[0], y[1]}};
}

std::size_t known_among(const std::vector<tags::Sighting>& found, const Chart& chart) {
  return static_cast<std::size_t>(std::count_if(found.begin(), found.end(), [&](const auto& one) {
    return std::any_of(chart.marks.begin(), chart.marks.end(),
                       [&](const Mark& mark) { return mark.id == one.id; });
  }));
}

double miss_of(const DetectedTag& tag, const Eigen::Matrix3d& map) {
  double sum = 0;
  for (const auto& corner : tag.stored_from_sheet)
    sum += (apply_homography(map, corner.from) - corner.to).squaredNorm();
  return std::sqrt(sum / 4);
}

}  // namespace

DetectedTags detect_chart_tags(const Layout& layout, const Chart& chart, const PageRaster& page) {
  DetectedTags out;
  if (page.overview.width == 0 || chart.marks.empty()) return out;
  auto found = sightings_in(page.overview, false);
  if (known_among(found, chart) < 2) {
    auto mirrored = sightings_in(page.overview, true);
    out.mirrored = known_among(mirrored, chart) > known_among(found, chart);
    if (out.mirrored) found = std::move(mirrored);
  }
  for (const auto& sighting : found) {
    const auto mark = std::find_if(chart.marks.begin(), chart.marks.end(),
                                   [&](const Mark& m) { return m.id == sighting.id; });
    if (mark == chart.marks.end()) {
      out.strangers.push_back(sighting.id);
      continue;
    }
    DetectedTag tag{static_cast<std::size_t>(mark - chart.marks.begin()), {}};
    const auto sheet = corners_on_sheet(layout, *mark);
    for (std::size_t k = 0; k < 4; ++k) {
      const Eigen::Vector2d cell(sighting.corners_px[k][0], sighting.corners_px[k][1]);
      tag.stored_from_sheet[k] = {sheet[k], cell * page.overview.px_per_cell};
    }
    out.tags.push_back(tag);
  }
  return out;
}

Eigen::Vector2d raster_from_stored(const PageRaster& page, const Eigen::Vector2d& stored_px) {
  Eigen::Vector2d out = stored_px;
  if (page.overview.transposed) std::swap(out[0], out[1]);
  if (page.overview.flip_u) out[0] = page.width_px - out[0];
  if (page.overview.flip_v) out[1] = page.height_px - out[1];
  return out;
}

std::vector<DetectedTag> without_outliers(std::vector<DetectedTag> tags, double most_px) {
  while (tags.size() > 2) {
    std::vector<PointPair> pairs;
    for (const auto& tag : tags)
      pairs.insert(pairs.end(), tag.stored_from_sheet.begin(), tag.stored_from_sheet.end());
    const auto map = fit_homography(pairs);
    if (!map) return {};
    std::vector<double> misses;
    for (const auto& tag : tags) misses.push_back(miss_of(tag, *map));
    const auto worst = std::max_element(misses.begin(), misses.end());
    std::vector<double> sorted = misses;
    std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2),
                     sorted.end());
    if (*worst <= std::max(most_px, kOutlier * sorted[sorted.size() / 2])) return tags;
    tags.erase(tags.begin() + (worst - misses.begin()));
  }
  return tags;
}

}  // namespace scrapetrace::page
