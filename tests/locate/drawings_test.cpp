// Flat pictures that no press printed had heads named on them, 376,674 times the noise sure.

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::bench_machine;

bool is_refused(const PageRaster& page, const Chart* chart) {
  const Findings found = locate(bench_machine(), chart, {ScanInput{"page.png", page}}, {}).findings;
  const auto& issues = found.scans.front().issues;
  const bool drawing = std::find(issues.begin(), issues.end(), ScanIssue::drawing) != issues.end();
  EXPECT_TRUE(!drawing || (!found.scans.front().analysed() && found.targets.empty()));
  return drawing;
}

TEST(Drawings, AreRefusedWithStreaksAndWithout) {
  const Chart chart = bench_chart();
  const Layout layout = bench_machine();
  for (const double dpi : {150.0, 300.0}) {
    for (const double loss : {0.0, 0.4}) {
      ScanOptions drawn = testing::quiet_scan(dpi);
      drawn.bits = 8;
      drawn.skew_deg = 0;
      Causes causes;
      if (loss > 0) causes.residues = {testing::residue_at(layout, 0, Side::right, 1.5, 0.8, loss)};
      const auto page = testing::raster_of(layout, chart, causes, testing::quiet_print(), drawn);
      EXPECT_TRUE(is_refused(page, &chart)) << dpi << " " << loss;
      EXPECT_TRUE(is_refused(page, nullptr)) << dpi << " " << loss;
    }
  }
}

TEST(Drawings, AreNotWhatAQuietPressPrints) {
  const Chart chart = bench_chart();
  PrintOptions quiet;
  quiet.jet_variation = 0.005;  // a quarter of the simulator's own
  quiet.grain = 0.01;
  quiet.mottle = 0.002;
  for (const double dpi : {150.0, 300.0}) {
    ScanOptions scan = testing::noisy_scan(3, dpi);
    scan.blur_px = 1.5;
    EXPECT_FALSE(is_refused(testing::raster_of(bench_machine(), chart, {}, quiet, scan), &chart)) << dpi;
  }
}

}  // namespace
}  // namespace scrapetrace
