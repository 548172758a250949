#include <algorithm>
#include <cmath>

#include "base/robust.h"
#include "base/time_limit.h"
#include "geometry/frames.h"
#include "locate/make_thumbnail.h"
#include "locate/prepare_scan.h"
#include "scrapetrace/measure.h"

namespace scrapetrace {

namespace {

constexpr double kSeenPart = 0.9;
constexpr double kFloor = 1e-4;  // no scan measures ink finer than this
constexpr int kBoxes = 300;      // that the noise rests on, at most

// The mean over all views that count, sample by sample.
struct Mean {
  std::vector<double> loss;
  std::vector<int> views;  // that a sample rests on
};

bool counts(const Layout& layout, const profile::InkView& view, const profile::Strip& strip,
            const Place& place) {
  const auto inside = [&](const Interval& y) {
    return std::min(y.to_mm, strip.y_mm.to_mm) - std::max(y.from_mm, strip.y_mm.from_mm) >
           0.5 * (strip.y_mm.to_mm - strip.y_mm.from_mm);
  };
  if (!place.y_sheet_mm.empty() && std::none_of(place.y_sheet_mm.begin(), place.y_sheet_mm.end(), inside)) {
    return false;
  }
  if (place.added || place.inks.empty()) return true;
  const auto& ink = layout.inks[static_cast<std::size_t>(view.ink)].name;
  return std::find(place.inks.begin(), place.inks.end(), ink) != place.inks.end();
}

Mean mean_of(const Layout& layout, const profile::PreparedScan& scan, const Place& place) {
  const auto n = static_cast<std::size_t>(scan.strips.grid.size);
  Mean mean{std::vector<double>(n, 0.0), std::vector<int>(n, 0)};
  for (const auto& view : place.added ? scan.views.paper : scan.views.inked) {
    const auto& strip = scan.strips.strips[view.strip];
    if (!counts(layout, view, strip, place)) continue;
    for (auto i = static_cast<std::size_t>(strip.from); i < static_cast<std::size_t>(strip.to); ++i) {
      if (!strip.bridged.empty() && strip.bridged[i]) continue;
      mean.loss[i] += static_cast<double>(view.loss[i]);
      ++mean.views[i];
    }
  }
  for (std::size_t i = 0; i < n; ++i) {
    if (mean.views[i] > 0) mean.loss[i] /= mean.views[i];
  }
  return mean;
}

// Mean over samples [from, from + width) and how many of them were seen.
std::pair<double, int> box(const Mean& mean, int from, int width) {
  double sum = 0;
  int seen = 0;
  for (int i = std::max(0, from); i < std::min(static_cast<int>(mean.loss.size()), from + width); ++i) {
    if (mean.views[static_cast<std::size_t>(i)] == 0) continue;
    sum += mean.loss[static_cast<std::size_t>(i)];
    ++seen;
  }
  return {seen > 0 ? sum / seen : 0, seen};
}

Reading read(const Layout& layout, const profile::PreparedScan& scan, const Place& place) {
  const auto& grid = scan.strips.grid;
  const Mean mean = mean_of(layout, scan, place);
  const int from = static_cast<int>(std::floor(grid.index(place.x_drum_mm.from_mm)));
  const int width = std::max(1, static_cast<int>(std::ceil(grid.index(place.x_drum_mm.to_mm))) - from);
  const auto [loss, seen] = box(mean, from, width);
  if (seen < kSeenPart * width) return {};
  std::vector<double> elsewhere;
  for (int a = 0; a + width <= grid.size; a += std::max(width / 2, grid.size / kBoxes + 1)) {
    const auto [value, count] = box(mean, a, width);
    if (count >= kSeenPart * width) elsewhere.push_back(value);
  }
  const double centre = median(elsewhere);
  return {true, loss - centre, std::max(robust_sigma(elsewhere, centre), kFloor)};
}

// The print around a place on one scan.
PlaceView view(const Layout& layout, const locate_detail::AnalysedScan& scan, const PageRaster& raster,
               std::size_t index, const Place& place) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  const double x = sheet_from_drum.sheet_x(0.5 * (place.x_drum_mm.from_mm + place.x_drum_mm.to_mm));
  const double width =
      (place.x_drum_mm.to_mm - place.x_drum_mm.from_mm) * std::abs(layout.transfer.scale_cross);
  PlaceView out;
  out.crop = StreakCrop{index, locate_detail::crop_around(raster, scan.placement, x, width)};
  const Thumbnail& picture = out.crop->picture;
  const Mean mean = mean_of(layout, *scan.prepared, place);
  for (std::size_t i = 0; i < mean.loss.size(); ++i) {
    const double x_drum = scan.prepared->strips.grid.at(static_cast<double>(i));
    const double beyond = sheet_from_drum.sheet_x(x_drum) - picture.left_mm;
    if (mean.views[i] == 0 || beyond < 0 || beyond > picture.width_mm) continue;
    out.x_drum_mm.push_back(x_drum);
    out.loss.push_back(mean.loss[i]);
  }
  return out;
}

}  // namespace

std::vector<std::vector<Reading>> measure_places(const Layout& layout, const Chart* chart,
                                                 const std::vector<ScanInput>& scans,
                                                 const std::vector<Place>& places,
                                                 const LocateOptions& options) {
  const TimeLimit limit(options.until);
  std::vector<std::vector<Reading>> readings(places.size(), std::vector<Reading>(scans.size()));
  for (std::size_t s = 0; s < scans.size(); ++s) {
    TimeLimit::check();
    const auto scan = locate_detail::prepare_scan(layout, chart, scans[s], s, options);
    if (!scan.prepared) continue;
    for (std::size_t p = 0; p < places.size(); ++p) readings[p][s] = read(layout, *scan.prepared, places[p]);
  }
  return readings;
}

std::vector<PlaceView> view_places(const Layout& layout, const Chart* chart,
                                   const std::vector<ScanInput>& scans, const std::vector<Place>& places,
                                   const LocateOptions& options) {
  const TimeLimit limit(options.until);
  std::vector<PlaceView> views(places.size());
  for (std::size_t s = 0; s < scans.size(); ++s) {
    TimeLimit::check();
    const auto scan = locate_detail::prepare_scan(layout, chart, scans[s], s, options);
    if (!scan.prepared || !scans[s].page.ok()) continue;
    for (std::size_t p = 0; p < places.size(); ++p) {
      if (views[p].crop && !views[p].loss.empty()) continue;
      auto seen = view(layout, scan, *scans[s].page, s, places[p]);
      if (!views[p].crop || !seen.loss.empty()) views[p] = std::move(seen);
    }
  }
  return views;
}

}  // namespace scrapetrace
