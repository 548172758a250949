// What a page could not show.

#include "targets/unchecked.h"

#include <gtest/gtest.h>

#include "causes/pages.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::prepared_scan;
using testing::quiet_print;
using testing::quiet_scan;

constexpr double kInset_mm = 0.6;  // strips keep this far from patches' sides, blur included

std::vector<Unchecked> unchecked_of(const Layout& layout, const std::vector<profile::PreparedScan>& scans) {
  return find_unchecked(geometry::Machine(layout), scans);
}

profile::PreparedScan scan_of(const Chart& chart) {
  return prepared_scan(bench_machine(), chart, {}, quiet_print(), quiet_scan());
}

const UncheckedTarget* find(const Unchecked& u, const std::string& head, Side side) {
  for (const auto& t : u.targets) {
    if (t.head == head && t.side == side) return &t;
  }
  return nullptr;
}

// Half of the bench machine's travel of 12 columns: contacts mark the print around home plus this.
constexpr double kTravel_mm = 6 * 0.0635;

// The bands cover drum 18 to 102 mm; head 1's left zone lies left of them, head 2's right zone to their
// right.
TEST(Unchecked, IsWhatAChartNarrowerThanTheHeadsLeavesOut) {
  const auto unchecked = unchecked_of(bench_machine(), {scan_of(bench_chart())});
  ASSERT_EQ(unchecked.size(), 2U);
  // Outermost jets at home: column 40 of head 1, column 960 + 169 * 5 of head 2.
  EXPECT_NEAR(unchecked[0].x_drum_mm.from_mm, 40.5 * 0.0635 - 4 + kTravel_mm, 0.05);
  EXPECT_NEAR(unchecked[0].x_drum_mm.to_mm, 18, kInset_mm);
  EXPECT_NEAR(unchecked[1].x_drum_mm.from_mm, 102, kInset_mm);
  EXPECT_NEAR(unchecked[1].x_drum_mm.to_mm, 1805.5 * 0.0635 + 4 + kTravel_mm, 0.05);
  ASSERT_EQ(unchecked[0].targets.size(), 1U);
  ASSERT_EQ(unchecked[1].targets.size(), 1U);
  ASSERT_NE(find(unchecked[0], "1", Side::left), nullptr);
  ASSERT_NE(find(unchecked[1], "2", Side::right), nullptr);
  EXPECT_EQ(find(unchecked[0], "1", Side::left)->fraction, 1);
  EXPECT_EQ(find(unchecked[1], "2", Side::right)->fraction, 1);
  EXPECT_FALSE(unchecked[0].reason.empty());
}

// Bands that leave out drum 58 to 62 mm: the sides that face each other are seen in part.
TEST(Unchecked, HoldsTheGapInTheMiddleOfAPage) {
  Chart chart = bench_chart();
  chart.patches = {{{"cyan"}, {2, 48}, {10, 50}, 1}, {{"magenta"}, {52, 98}, {60, 100}, 1}};
  const auto unchecked = unchecked_of(bench_machine(), {scan_of(chart)});
  ASSERT_EQ(unchecked.size(), 3U);
  EXPECT_NEAR(unchecked[1].x_drum_mm.from_mm, 58, kInset_mm);
  EXPECT_NEAR(unchecked[1].x_drum_mm.to_mm, 62, kInset_mm);
  const auto* right = find(unchecked[1], "1", Side::right);
  const auto* left = find(unchecked[1], "2", Side::left);
  ASSERT_NE(right, nullptr);
  ASSERT_NE(left, nullptr);
  // Head 1's outermost jet stands at 985.5 columns (62.58 mm), its zone from 59.58 to 66.58 mm.
  EXPECT_NEAR(right->fraction, (62 - 59.58 - kTravel_mm) / 7, kInset_mm / 7);
  EXPECT_LT(left->fraction, 1);
}

TEST(Unchecked, AreasThatAnotherScanShowsAreChecked) {
  Chart left = bench_chart();
  left.patches = {{{"cyan"}, {2, 55}, {10, 50}, 1}};
  Chart right = bench_chart();
  right.patches = {{{"cyan"}, {45, 98}, {10, 50}, 1}};
  const auto alone = unchecked_of(bench_machine(), {scan_of(left)});
  const auto both = unchecked_of(bench_machine(), {scan_of(left), scan_of(right)});
  ASSERT_EQ(both.size(), 2U);
  EXPECT_GT(both[1].x_drum_mm.from_mm, alone[1].x_drum_mm.from_mm + 40);
}

// A seam within 58 to 62 mm that one scan hides, and another, which is placed better, does not.
TEST(Unchecked, HoldsWhatEveryScanHides) {
  const Layout layout = bench_machine();
  const geometry::Machine machine(layout);
  const profile::PreparedScan scan = scan_of(bench_chart());
  const std::vector<std::vector<Interval>> hidden{{{58, 62}}};
  const auto alone = find_unchecked(machine, {scan}, hidden);
  ASSERT_EQ(alone.size(), 3U);
  EXPECT_EQ(alone[1].x_drum_mm.from_mm, 58);
  EXPECT_EQ(alone[1].x_drum_mm.to_mm, 62);
  ASSERT_NE(find(alone[1], "1", Side::right), nullptr);
  EXPECT_NEAR(find(alone[1], "1", Side::right)->fraction, (62 - 59.58 - kTravel_mm) / 7, 0.01);
  EXPECT_NE(alone[1].reason, alone[0].reason);
  EXPECT_EQ(find_unchecked(machine, {scan, scan}, hidden).size(), 2U);
}

TEST(Unchecked, IsEverythingWithoutAScan) {
  const auto unchecked = unchecked_of(bench_machine(), {});
  ASSERT_EQ(unchecked.size(), 1U);
  EXPECT_EQ(unchecked[0].targets.size(), 4U);
  for (const auto& t : unchecked[0].targets) EXPECT_NEAR(t.fraction, 1, 1e-9);
}

}  // namespace
}  // namespace scrapetrace::diagnose
