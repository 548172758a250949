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

// A drawing program's gradient: the ink grows lighter to the right, in steps of one part in `codes`.
void shade_across(PageRaster& page, double lighter_by, double codes) {
  constexpr double kPaper = 60000;
  std::vector<std::uint16_t>& samples = page.linear.own();
  const auto width = static_cast<std::size_t>(page.width_px);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    if (samples[i] >= kPaper) continue;
    const double x = static_cast<double>(i % width) / page.width_px;
    const double part = std::round(lighter_by * x * codes) / codes;
    samples[i] = static_cast<std::uint16_t>(std::lround(samples[i] + part * (kPaper - samples[i])));
  }
}

// A gradient's steps counted as grain: "Clean head 3 (99 %)" for a picture from a drawing program.
TEST(Drawings, AreRefusedWithAShadeOfTheirOwn) {
  const Chart chart = bench_chart();
  ScanOptions drawn = testing::quiet_scan(300);
  drawn.skew_deg = 0;
  for (const double lighter_by : {0.03, 0.06}) {
    Causes causes;
    causes.residues = {testing::residue_at(bench_machine(), 0, Side::right, 1.5, 0.8, 0.4)};
    PageRaster page = testing::raster_of(bench_machine(), chart, causes, testing::quiet_print(), drawn);
    shade_across(page, lighter_by, 255);
    EXPECT_TRUE(is_refused(page, &chart)) << lighter_by;
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
