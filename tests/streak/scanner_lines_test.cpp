// Lines of the scanner: found at their column, and nothing else taken for one.

#include "streak/scanner_lines.h"

#include <gtest/gtest.h>

#include <ostream>

#include "support/raster_of.h"

namespace scrapetrace::streak {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::noisy_scan;
using testing::raster_of;
using testing::true_placement;

std::vector<ScannerLineFinding> lines_of(const Causes& causes, const ScanOptions& scan) {
  const auto raster = raster_of(bench_machine(), bench_chart(), causes, {}, scan);
  return find_scanner_lines(raster, true_placement(bench_chart(), {}, scan), {});
}

constexpr double kPlace_px = 1.0;

struct Line {
  double fraction, width_px, gain, skew_deg;
};
void PrintTo(const Line& line, std::ostream* out) {
  *out << "at " << line.fraction << " width " << line.width_px << " px gain " << line.gain << " skew "
       << line.skew_deg;
}
class FindsALine : public ::testing::TestWithParam<Line> {};

TEST_P(FindsALine, AtItsColumnWhateverTheSkew) {
  const Line k = GetParam();
  ScanOptions scan = noisy_scan(5);
  scan.skew_deg = k.skew_deg;
  Causes causes;
  causes.lines = {{k.fraction, k.width_px, k.gain}};
  const auto found = lines_of(causes, scan);
  ASSERT_EQ(found.size(), 1U);
  const double column = k.fraction * press::scan_geometry(bench_chart(), {}, scan).raw_width_px;
  EXPECT_NEAR(found[0].u_px, column, kPlace_px);
  EXPECT_NEAR(found[0].width_px, k.width_px, 2);
  EXPECT_EQ(found[0].gain < 1, k.gain < 1);
  EXPECT_GT(found[0].z, 5);
}

INSTANTIATE_TEST_SUITE_P(Streak, FindsALine,
                         ::testing::Values(Line{0.3, 1, 0.93, 0}, Line{0.4, 1, 0.93, 1},
                                           Line{0.5, 2, 1.06, -1}, Line{0.7, 3, 0.9, 0.4},
                                           Line{0.25, 1, 1.08, -0.3}));

// A line of whole pixels keeps its gain through the reading.
TEST(ScannerLines, MeasureTheGain) {
  ScanOptions scan = noisy_scan(6);
  const int width = press::scan_geometry(bench_chart(), {}, scan).raw_width_px;
  Causes causes;
  causes.lines = {{601.0 / width, 2, 0.85}};  // columns 600 and 601
  const auto found = lines_of(causes, scan);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_NEAR(found[0].u_px, 601, 0.01);
  EXPECT_EQ(found[0].width_px, 2);
  EXPECT_NEAR(found[0].gain, 0.85, 0.01);
}

TEST(ScannerLines, FindsTwo) {
  Causes causes;
  causes.lines = {{0.35, 1, 0.9}, {0.6, 2, 0.92}};
  ScanOptions scan = noisy_scan(8);
  scan.skew_deg = 0.7;
  const auto found = lines_of(causes, scan);
  ASSERT_EQ(found.size(), 2U);
  EXPECT_LT(found[0].u_px, found[1].u_px);
}

TEST(ScannerLines, CleanPagesHaveNone) {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    ScanOptions scan = noisy_scan(seed);
    scan.skew_deg = 0.15 * static_cast<double>(seed) - 1;
    EXPECT_TRUE(lines_of({}, scan).empty()) << seed;
  }
}

TEST(ScannerLines, HazeScratchesAndResidueAreNone) {
  Causes causes;
  causes.hazes = {{40, 3, 0.15, {}}, {70, 8, 0.08, {}}};
  causes.scratches = {{55, 0.2, 1, {}}};
  Residue residue;
  residue.carriage = 1;
  residue.x_mm = 85;
  residue.width_mm = 0.3;
  residue.loss = 0.6;
  causes.residues = {residue};
  for (const double skew_deg : {0.0, 0.8}) {
    ScanOptions scan = noisy_scan(3);
    scan.skew_deg = skew_deg;
    EXPECT_TRUE(lines_of(causes, scan).empty()) << skew_deg;
  }
}

TEST(ScannerLines, NeedBarePaper) {
  Chart full = bench_chart();
  full.patches = {{{"cyan"}, {0, 100}, {0, 120}, 1}};
  const ScanOptions scan = noisy_scan(1);
  Causes causes;
  causes.lines = {{0.5, 1, 0.9}};
  const auto raster = raster_of(bench_machine(), full, causes, {}, scan);
  EXPECT_TRUE(find_scanner_lines(raster, true_placement(full, {}, scan), {}).empty());
}

}  // namespace
}  // namespace scrapetrace::streak
