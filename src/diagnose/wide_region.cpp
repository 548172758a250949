#include "diagnose/wide_region.h"

#include <algorithm>
#include <cmath>

#include "geometry/travel.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kMostColumns = 1500;
constexpr double kApart_mm = 2;  // from the region's ends to what lies beside it
constexpr double kBeside_mm = 10;

// Sum and number of the densities that a view shows within an interval.
struct Densities {
  double sum = 0;
  double count = 0;
  [[nodiscard]] double mean() const { return sum / count; }
};

void add(const profile::Strips& strips, const profile::InkView& view, Interval x_mm, Densities& out) {
  const profile::Strip& strip = strips.strips[view.strip];
  const int from = std::max(strip.from, static_cast<int>(std::ceil(strips.grid.index(x_mm.from_mm))));
  const int to = std::min(strip.to, static_cast<int>(std::floor(strips.grid.index(x_mm.to_mm))) + 1);
  for (int i = from; i < to; ++i) {
    out.sum +=
        profile::dot_density(static_cast<double>(view.value[static_cast<std::size_t>(i)]), view.coverage);
    ++out.count;
  }
}

// Mean over the views of a track of how much less ink the region has than its surroundings; 0 where none of
// them can be compared.
double lost(const profile::PreparedScan& scan, const streak::Track& track, Interval x_mm) {
  double sum = 0;
  int views = 0;
  for (const profile::InkView& view : scan.views.inked) {
    if (!track.shown_by(view.strip)) continue;
    Densities inside;
    Densities beside;
    add(scan.strips, view, x_mm, inside);
    add(scan.strips, view, {x_mm.from_mm - kApart_mm - kBeside_mm, x_mm.from_mm - kApart_mm}, beside);
    add(scan.strips, view, {x_mm.to_mm + kApart_mm, x_mm.to_mm + kApart_mm + kBeside_mm}, beside);
    if (inside.count == 0 || beside.count == 0 || beside.sum <= 0) continue;
    sum += 1 - inside.mean() / beside.mean();
    ++views;
  }
  return views > 0 ? sum / views : 0;
}

}  // namespace

bool beyond_causes(const PageContext& page, const streak::Region& region, const DiagnoseOptions& options) {
  const double px = page.machine.layout.px_mm();
  const geometry::Travel travel = geometry::travel_of(page.machine.layout, 0);  // as far on every carriage
  const double widest_mm =
      (region.ink_added ? 2 : 1) * options.priors.widest_mm + (travel.high_px - travel.low_px) * px;
  const double width_mm = region.x_mm.to_mm - region.x_mm.from_mm;
  return width_mm > std::min(options.most_causes * widest_mm, kMostColumns * px);
}

Explanation unexplained(const PageContext& page, const streak::Region& region,
                        std::vector<streak::Track> tracks) {
  Explanation e;
  e.causes[static_cast<std::size_t>(Cause::unknown)] = 1;
  e.z = region.z;
  e.visible_mm = region.x_mm;
  e.middle_sigma_mm = (region.x_mm.to_mm - region.x_mm.from_mm) / std::sqrt(12.0);
  for (std::size_t s = 0; s < tracks.size(); ++s)
    e.loss = std::max(e.loss, lost(page.scans[s], tracks[s], region.x_mm));
  e.tracks = std::move(tracks);
  return e;
}

}  // namespace scrapetrace::diagnose
