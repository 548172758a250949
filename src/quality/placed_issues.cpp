#include "quality/placed_issues.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "base/written_mm.h"

namespace scrapetrace::quality {

namespace {

constexpr double kCoarse_dpi = 190;
constexpr double kUnsharp_px = 2.2;   // standard deviation; a good scan has about 0.9
constexpr double kUnsharp_mm = 0.16;  // beyond this fine streaks are lost
constexpr double kHalo = 0.03;
constexpr double kCropped_mm = 1.0;
constexpr double kStep_mm = 4.0;

// For a streak of total loss; a sharp scan shows one far below a pixel.
std::string limit_of_sight(double finest_mm) {
  return " and shows no streak narrower than " + written_mm(std::max(0.01, finest_mm), 2);
}

// How far the print extends beyond the image's left, right, top and bottom, raster frame.
std::array<double, 4> print_beyond(const PageRaster& raster, const page::Placement& place) {
  std::array<double, 4> deepest{};
  const double px_per_mm_u = std::hypot(place.map.ux, place.map.uy);
  const double px_per_mm_v = std::hypot(place.map.vx, place.map.vy);
  for (const Patch& patch : place.chart.patches) {
    if (patch.inks.empty()) continue;
    for (double x = patch.x_mm[0]; x <= patch.x_mm[1];
         x += std::min(kStep_mm, patch.x_mm[1] - patch.x_mm[0])) {
      for (const double y : patch.y_mm) {
        const double u = place.map.u(x, y);
        const double v = place.map.v(x, y);
        deepest = {std::max(deepest[0], -u / px_per_mm_u),
                   std::max(deepest[1], (u - raster.width_px) / px_per_mm_u),
                   std::max(deepest[2], -v / px_per_mm_v),
                   std::max(deepest[3], (v - raster.height_px) / px_per_mm_v)};
      }
      if (patch.x_mm[1] <= patch.x_mm[0]) break;
    }
  }
  return deepest;
}

void find_cropping(const PageRaster& raster, const page::Placement& place, std::vector<Issue>& out) {
  constexpr std::array<const char*, 4> kUpright = {"left", "right", "top", "bottom"};
  constexpr std::array<const char*, 4> kLying = {"top", "bottom", "left", "right"};
  const auto deepest = print_beyond(raster, place);
  for (std::size_t side = 0; side < 4; ++side) {
    if (deepest[side] < kCropped_mm) continue;
    out.push_back(
        {ScanIssue::cropped, "the image is cropped: " + written_mm(deepest[side], 1) +
                                 " of the print are cut off at its " +
                                 (raster.transposed ? kLying[side] : kUpright[side]) +
                                 ": scan the whole sheet with some of the scanner's bed around it"});
  }
}

}  // namespace

std::vector<Issue> placed_issues(const PageRaster& raster, const Layout& layout, const page::Placement& place,
                                 double finest_mm, int threads) {
  std::vector<Issue> out;
  if (place.dpi < kCoarse_dpi) {
    out.push_back(
        {ScanIssue::too_coarse, "at " + std::to_string(std::lround(place.dpi)) + " dpi the scan is coarse" +
                                    limit_of_sight(finest_mm) +
                                    ": scan at 300 dpi, better 600, to tell neighbouring heads apart"});
  }
  if (place.blur_px > kUnsharp_px && place.blur_px * 25.4 / place.dpi > kUnsharp_mm) {
    out.push_back(
        {ScanIssue::out_of_focus, "the scan is not sharp" + limit_of_sight(finest_mm) +
                                      ": clean the glass, lay the sheet flat on it and scan again"});
  }
  find_cropping(raster, place, out);
  if (edge_halo(raster, layout, place, threads) > kHalo) {
    out.push_back(
        {ScanIssue::enhanced,
         "edges have halos, as sharpening leaves them, which may be taken for streaks, so that only plain "
         "ones were looked for: switch off sharpening in the scanning program and scan again"});
  }
  return out;
}

}  // namespace scrapetrace::quality
