#pragma once
// A small machine and a small chart, printed and scanned in memory: what reading a file would give, without
// the file. Pages of 100 x 120 mm at 300 dpi take a fraction of a second.

#include <gtest/gtest.h>

#include <cmath>
#include <utility>

#include "page/placement.h"
#include "press/scan_from_sheet.h"
#include "scan/block_sums.h"
#include "scan/overview_rows.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::testing {

// Two carriages with a head each, 400 dpi, pitch 5. Columns 52 to 1805 are printed: drum X 3.3 to 114.7 mm.
// The sheet lies over drum X 10 to 110 mm, whichever way round.
inline Layout bench_machine(bool mirrored = false) {
  Layout layout;
  layout.name = "bench machine";
  layout.drum = {120, 160};
  layout.raster = {400, 400};
  layout.interleave = {5, {0, 3, 6, 9, 12}};
  layout.transfer = {mirrored, 1.0, mirrored ? 110.0 : 10.0};
  layout.inks = {
      {"cyan", {1.10, 0.32, 0.12}}, {"magenta", {0.16, 1.15, 0.42}}, {"yellow", {0.03, 0.09, 0.95}}};
  layout.carriages = {{"high", 35, 0, 1}, {"low", 145, 0, 1}};
  layout.heads = {{"1", 0, 40, 190, false}, {"2", 1, 960, 170, false}};
  layout.zones = {{"faceplate", Side::left, -3, 4, 1, 4}, {"faceplate", Side::right, -3, 4, 1, 4}};
  return layout;
}

// Three inks, an overprint and a mark in one corner, white between them.
inline Chart bench_chart() {
  Chart chart;
  chart.name = "bench bands";
  chart.sheet_mm = {100, 120};
  chart.patches = {{{"cyan"}, {8, 92}, {10, 30}, 1},
                   {{"magenta"}, {8, 92}, {34, 54}, 1},
                   {{"yellow"}, {8, 92}, {58, 74}, 1},
                   {{"cyan", "magenta"}, {8, 92}, {78, 100}, 1},
                   {{"cyan", "magenta"}, {8, 18}, {106, 114}, 1}};
  return chart;
}

// A print and a scan without anything random, in 16 bits.
inline PrintOptions quiet_print() {
  PrintOptions print;
  print.jet_variation = 0;
  print.mottle = 0;
  print.grain = 0;
  return print;
}
inline ScanOptions quiet_scan(double dpi = 300) {
  ScanOptions scan;
  scan.dpi = dpi;
  scan.noise = 0;
  scan.bits = 16;
  scan.threads = 1;
  return scan;
}
// The press's own defaults, at 300 dpi.
inline ScanOptions noisy_scan(std::uint64_t seed, double dpi = 300) {
  ScanOptions scan;
  scan.dpi = dpi;
  scan.scan_seed = seed;
  scan.threads = 1;
  return scan;
}

constexpr double kBlock_mm = 0.68;  // the reader's own default

inline PageRaster raster_of(const SimulatedScan& image, bool transposed = false) {
  PageRaster page;
  page.width_px = transposed ? image.height_px : image.width_px;
  page.height_px = transposed ? image.width_px : image.height_px;
  page.transposed = transposed;
  page.tag_dpi_across = page.tag_dpi_along = image.dpi;
  page.rows_per_block = std::max(1, static_cast<int>(std::lround(kBlock_mm * image.dpi / 25.4)));
  scan::BlockSums sums(page, image.channels, image.bits / 8);
  scan::OverviewRows overview(page.overview, image.width_px, image.height_px, image.channels, image.bits / 8,
                              {transposed, false, false});
  const std::size_t stride = image.pixels.size() / static_cast<std::size_t>(image.height_px);
  for (std::size_t v = 0; v < static_cast<std::size_t>(image.height_px); ++v) {
    sums.add_row(image.pixels.data() + v * stride);
    overview.add_row(image.pixels.data() + v * stride);
  }
  return page;
}

inline bool lies_across(const ScanOptions& scan) {
  return scan.turn_deg == 90 || scan.turn_deg == 270;
}

// Read transposed when the scan lies across, as a portrait sheet's is.
inline PageRaster raster_of(const Layout& layout, const Chart& chart, const Causes& causes,
                            const PrintOptions& print, const ScanOptions& scan) {
  const auto image = simulate_scan(layout, chart, causes, print, scan);
  if (!image) {
    ADD_FAILURE() << image.problems()[0].what;
    return {};
  }
  return raster_of(*image, lies_across(scan));
}

// Where the sheet really lies in the raster.
inline page::RasterFromSheet true_map(const Chart& chart, const PrintOptions& print,
                                      const ScanOptions& scan) {
  const auto t = press::scan_geometry(chart, print, scan).scan_from_sheet;
  if (lies_across(scan)) return {t.y0, t.yx, t.yy, t.x0, t.xx, t.xy};
  return {t.x0, t.xx, t.xy, t.y0, t.yx, t.yy};
}

// The standard deviation of a pixel's box, 1/sqrt(12) px, joins that of the scanner's point spread.
inline double seen_blur_px(const ScanOptions& scan) {
  return std::hypot(scan.blur_px, std::sqrt(1.0 / 12));
}

inline page::Placement true_placement(const Chart& chart, const PrintOptions& print,
                                      const ScanOptions& scan) {
  page::Placement place;
  place.map = true_map(chart, print, scan);
  place.chart = chart;
  place.datum = Datum::patch_edges;
  place.dpi = scan.dpi;
  place.dpi_source = "option";
  place.blur_px = seen_blur_px(scan);
  return place;
}

}  // namespace scrapetrace::testing
