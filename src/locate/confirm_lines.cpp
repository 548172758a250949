#include "locate/confirm_lines.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::locate_detail {

namespace {

constexpr double kSameColumn_mm = 0.5;  // between scans of one bed
constexpr double kSameOnSheet_mm = 0.3;

struct PlacedLine {
  double in_scan_mm = 0;   // from the image's first column
  double on_sheet_mm = 0;  // sheet x, half way down
};

PlacedLine placed(const AnalysedScan& scan, double u_px) {
  const page::Placement& place = scan.placement;
  const auto sheet_from_raster = page::sheet_from_raster(place.map);
  const double middle_v = place.map.v(place.chart.sheet_mm[0] / 2, place.chart.sheet_mm[1] / 2);
  return {u_px / std::hypot(place.map.ux, place.map.vx), sheet_from_raster.x(u_px, middle_v)};
}

int turn_of(const AnalysedScan& scan, const ScanInput& input) {
  return page::orientation_of(scan.placement.map, input.page->transposed).turn_deg;
}

std::optional<bool> kept(const AnalysedScan& scan, const streak::ScannerLineFinding& line,
                         const AnalysedScan& turned) {
  const PlacedLine here = placed(scan, line.u_px);
  bool stays = false;
  bool follows = false;
  for (const auto& other : turned.lines) {
    const PlacedLine there = placed(turned, other.u_px);
    stays = stays || std::abs(there.in_scan_mm - here.in_scan_mm) < kSameColumn_mm;
    follows = follows || std::abs(there.on_sheet_mm - here.on_sheet_mm) < kSameOnSheet_mm;
  }
  if (stays == follows) return std::nullopt;
  return stays;
}

}  // namespace

std::vector<std::vector<std::optional<bool>>> kept_scan_columns(const std::vector<AnalysedScan>& scans,
                                                                const std::vector<ScanInput>& inputs) {
  std::vector<std::vector<std::optional<bool>>> out;
  for (std::size_t i = 0; i < scans.size(); ++i) {
    out.emplace_back(scans[i].lines.size());
    if (!scans[i].prepared) continue;
    for (std::size_t j = 0; j < scans.size(); ++j) {
      if (j == i || !scans[j].prepared) continue;
      if (std::abs(turn_of(scans[i], inputs[i]) - turn_of(scans[j], inputs[j])) != 180) continue;
      for (std::size_t k = 0; k < scans[i].lines.size(); ++k) {
        if (!out[i][k]) out[i][k] = kept(scans[i], scans[i].lines[k], scans[j]);
      }
    }
  }
  return out;
}

}  // namespace scrapetrace::locate_detail
