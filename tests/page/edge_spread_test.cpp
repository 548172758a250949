// How sharp a scan is: what was put in, or nothing where a coarse screen's dots make no step.

#include "page/edge_spread.h"

#include <gtest/gtest.h>

#include "support/raster_of.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::noisy_scan;

double measured(const Chart& chart, const PrintOptions& print, double blur_px) {
  const Layout layout = bench_machine();
  ScanOptions scan = noisy_scan(5);
  scan.blur_px = blur_px;
  const PageRaster raster = testing::raster_of(layout, chart, {}, print, scan);
  const auto map = testing::true_map(chart, print, scan);
  return page::measure_blur_px(raster, map, page::measure_patch_edges(raster, layout, chart, map, {}).x);
}

TEST(EdgeSpread, OfSolidsIsTheScans) {
  for (const double blur_px : {0.7, 1.2, 2.5, 5.0}) {
    ScanOptions scan = noisy_scan(5);
    scan.blur_px = blur_px;
    EXPECT_NEAR(measured(bench_chart(), {}, blur_px), testing::seen_blur_px(scan), 0.1 + 0.05 * blur_px);
  }
}

TEST(EdgeSpread, OfACoarseScreensDotsIsNotTheScans) {
  Chart chart = bench_chart();
  for (Patch& patch : chart.patches) patch.coverage = 0.2;
  for (const double deg : {0.0, 22.5, 75.0}) {
    PrintOptions print;
    print.screen_lpi = 53;
    print.screen_deg = deg;
    const double blur_px = measured(chart, print, 0.85);
    if (blur_px > 0) {
      EXPECT_NEAR(blur_px, 0.85, 0.4) << deg;
    }
  }
}

}  // namespace
}  // namespace scrapetrace
