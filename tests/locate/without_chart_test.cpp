// A page whose chart is not known, from the scan to the target.

#include <gtest/gtest.h>

#include <algorithm>
#include <ostream>

#include "geometry/frames.h"
#include "scrapetrace/locate.h"
#include "support/raster_of.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::bench_machine;

struct Case {
  Side side;
  double outward_mm;  // middle of the residue
};
void PrintTo(const Case& c, std::ostream* out) {
  *out << (c.side == Side::left ? "left side, " : "right side, ") << c.outward_mm << " mm outward";
}

// One head over the whole sheet, with zones that reach well in: nobody else could have left the streak.
Layout one_wide_head() {
  Layout layout = bench_machine();
  layout.heads = {{"1", 0, 40, 340, false}};
  for (Zone& zone : layout.zones) zone.from_mm = -20;
  return layout;
}

class WithoutChart : public ::testing::TestWithParam<Case> {};

TEST_P(WithoutChart, ResidueLeadsToItsSide) {
  const Layout layout = one_wide_head();
  const Case k = GetParam();
  constexpr double kWidth_mm = 0.8;
  Residue residue;
  residue.carriage = layout.heads[0].carriage;
  residue.x_mm = geometry::drum_from_outward(layout, layout.heads[0], k.side, k.outward_mm) - kWidth_mm / 2;
  residue.width_mm = kWidth_mm;
  residue.loss = 0.6;
  Causes causes;
  causes.residues = {residue};
  const ScanInput input{"page.png",
                        testing::raster_of(layout, bench_chart(), causes, {}, testing::noisy_scan(5))};

  const Findings findings = locate(layout, nullptr, {input}, {}).findings;
  ASSERT_TRUE(findings.scans[0].analysed());
  EXPECT_EQ(findings.scans[0].registration->datum, Datum::sheet_edges);
  EXPECT_GE(findings.scans[0].registration->predicted_error_mm, 1.5);
  EXPECT_EQ(findings.scans[0].verdict, QualityVerdict::limited);
  ASSERT_EQ(findings.streaks.size(), 1U);
  const auto& probability = findings.streaks[0].causes;
  EXPECT_EQ(std::max_element(probability.begin(), probability.end()) - probability.begin(),
            static_cast<std::ptrdiff_t>(Cause::residue));
  ASSERT_FALSE(findings.targets.empty());
  EXPECT_EQ(findings.targets[0].side, k.side);
}

// Several heads leave seams and phases of their own in the print: as good as a chart, though the print lies
// off the sheet's edge and the resolution's tag is wrong.
TEST(WithoutChartJets, TieThePrintToTheDrum) {
  Layout layout = bench_machine();
  layout.carriages[1].travel = -1;
  layout.heads = {{"1", 0, 40, 60, false},  {"2", 1, 331, 60, false},  {"3", 0, 601, 60, false},
                  {"4", 1, 889, 60, false}, {"5", 0, 1160, 60, false}, {"6", 1, 1449, 60, false}};
  Causes causes;
  causes.residues.emplace_back();
  Residue& residue = causes.residues.back();
  residue.downstream = true;
  residue.x_mm = geometry::drum_from_outward(layout, layout.heads[2], Side::right, 1.5) - 0.4;
  residue.width_mm = 0.8;
  residue.loss = 0.4;
  for (const bool turned : {false, true}) {
    PrintOptions print;
    print.shift_x_mm = 1.4;
    print.stretch_x = 1.001;
    ScanOptions scan = testing::noisy_scan(6);
    scan.turn_deg = turned ? 180 : 0;
    const ScanInput input{"page.png", testing::raster_of(layout, bench_chart(), causes, print, scan)};
    const Findings findings = locate(layout, nullptr, {input}, {}).findings;
    ASSERT_TRUE(findings.scans[0].analysed());
    EXPECT_EQ(findings.scans[0].registration->datum, Datum::jets);
    EXPECT_LT(findings.scans[0].registration->predicted_error_mm, 0.05);
    ASSERT_EQ(findings.streaks.size(), 1U);
    ASSERT_FALSE(findings.targets.empty());
    EXPECT_EQ(findings.targets[0].head, "3");
    EXPECT_EQ(findings.targets[0].side, Side::right);
    EXPECT_NEAR(findings.targets[0].x_drum_mm, causes.residues[0].x_mm + 0.4, 0.1) << turned;
  }
}

INSTANTIATE_TEST_SUITE_P(Sides, WithoutChart,
                         ::testing::Values(Case{Side::right, -14.0}, Case{Side::left, -17.0}));

}  // namespace
}  // namespace scrapetrace
