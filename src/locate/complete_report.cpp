#include "locate/complete_report.h"

#include <algorithm>
#include <cmath>

#include "locate/judge_scan.h"
#include "quality/pixel_issues.h"

namespace scrapetrace::locate_detail {

namespace {

Registration registration_of(const page::Placement& place, const PageRaster& raster) {
  const auto orientation = page::orientation_of(place.map, raster.transposed);
  Registration r;
  r.datum = place.datum;
  r.skew_deg = orientation.skew_deg;
  r.turn_deg = orientation.turn_deg;
  r.face_mirrored = orientation.face_mirrored;
  r.scale_x = std::hypot(place.map.ux, place.map.vx) / (place.dpi / 25.4);
  r.scale_y = std::hypot(place.map.uy, place.map.vy) / (place.dpi / 25.4);
  r.dpi = place.dpi;
  r.dpi_source = place.dpi_source;
  r.predicted_error_mm = place.x_sigma_mm;
  r.errors_across = place.errors_across;
  r.jets_moved_mm = place.jets_moved_mm;
  r.residual_mm = place.residual_mm;
  r.marks = place.marks;
  return r;
}

// Width of a streak of total loss that would just pass: seen through the blur its depth is w / (sqrt(2 pi)
// b).
double finest_streak_mm(const profile::PreparedScan& scan, double noise, const PixelStatistics& pixels) {
  constexpr double kThreshold = 5.5;
  const double blur_mm = scan.blur_px * scan.strips.grid.pitch_mm;
  return std::max(kThreshold * noise * 2.5066 * blur_mm,
                  std::max(0.1, quality::finest_beside_coder_px(pixels)) * scan.strips.grid.pitch_mm);
}

}  // namespace

void complete_report(const PageRaster& raster, const Layout& layout, ScanReport report,
                     std::vector<AnalysedScan>& ways, int threads) {
  AnalysedScan& likeliest = ways.front();
  report.finest_streak_mm = finest_streak_mm(*likeliest.prepared, likeliest.noise, raster.pixels);
  report.registration = registration_of(likeliest.placement, raster);
  likeliest.report = std::move(report);
  judge_scan(raster, layout, likeliest, threads);
  for (AnalysedScan& way : ways) {
    way.report = likeliest.report;
    way.prepared->light_adds_up = likeliest.prepared->light_adds_up;
  }
}

}  // namespace scrapetrace::locate_detail
