#include "locate/move_to_jets.h"

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"
#include "page/find_patches.h"

namespace scrapetrace::locate_detail {

namespace {

// Drum X shows at a X + b.
struct Shown {
  double a = 1;
  double b = 0;
};

Shown shown_at(const jets::Pattern& pattern) {
  return {1 + pattern.place.stretch, pattern.place.shift_mm - pattern.place.stretch * pattern.middle_mm};
}

double sigma_at(const jets::Pattern& pattern, double x_drum_mm) {
  return std::hypot(pattern.sigma_mm, pattern.sigma_stretch * (x_drum_mm - pattern.middle_mm));
}

// The sheet's frame moved and stretched so that the pattern lies where the layout has it.
void move_frame(const Layout& layout, const jets::Pattern& pattern, page::Placement& place) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  const auto [a, b] = shown_at(pattern);
  // x as shown = a x + c
  const double c = sheet_from_drum.scale * b + sheet_from_drum.offset_mm * (1 - a);
  place.map.u0 += place.map.ux * c;
  place.map.v0 += place.map.vx * c;
  place.map.ux *= a;
  place.map.vx *= a;
  // Patches found on the scan stay where they were seen; those of a chart are where it has them.
  for (Patch& patch : place.chart.patches) {
    if (place.datum != Datum::sheet_edges && place.datum != Datum::image_edges) break;
    for (double& x : patch.x_mm) x = (x - c) / a;
  }
  place.x_sigma_mm = pattern.sigma_mm * layout.transfer.scale_cross;
}

}  // namespace

void place_by_jets(const Layout& layout, const jets::Pattern& pattern, page::Placement& place) {
  move_frame(layout, pattern, place);
  place.errors_across.clear();
  std::erase(place.remarks, page::bare_page_remark(place.datum));
  place.datum = Datum::jets;
}

void tighten_by_jets(const Layout& layout, const jets::Pattern& pattern, page::Placement& place,
                     profile::PreparedScan& scan) {
  move_frame(layout, pattern, place);
  place.jets_moved_mm = pattern.place.shift_mm;
  const geometry::SheetFromDrum sheet_from_drum(layout);
  for (PlaceError& error : place.errors_across) {
    const double x_drum_mm = sheet_from_drum.drum_x(error.x_sheet_mm);
    error.sigma_mm = sigma_at(pattern, x_drum_mm) * std::abs(sheet_from_drum.scale);
    place.x_sigma_mm = std::max(place.x_sigma_mm, error.sigma_mm);
  }
  scan.x_sigma_mm = place.x_sigma_mm / std::abs(sheet_from_drum.scale);
  for (profile::DrumError& error : scan.x_errors) error.sigma_mm = sigma_at(pattern, error.x_mm);
  const auto [a, b] = shown_at(pattern);
  profile::Grid& grid = scan.strips.grid;
  grid.first_mm = (grid.first_mm - b) / a;
  grid.pitch_mm /= a;
}

void loosen(const Layout& layout, double apart_mm, page::Placement& place, profile::PreparedScan& scan) {
  const double scale = std::abs(geometry::SheetFromDrum(layout).scale);
  const auto widen = [](double& sigma_mm, double by_mm) { sigma_mm = std::hypot(sigma_mm, by_mm); };
  widen(place.x_sigma_mm, apart_mm * scale);
  for (PlaceError& error : place.errors_across) widen(error.sigma_mm, apart_mm * scale);
  widen(scan.x_sigma_mm, apart_mm);
  for (profile::DrumError& error : scan.x_errors) widen(error.sigma_mm, apart_mm);
}

}  // namespace scrapetrace::locate_detail
