// One sheet scanned twice, the second time turned end for end on the glass.

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::noisy_scan;
using testing::scanned;
using testing::streaks_by;
using testing::two_way_machine;

// `in_scanner`: dirt keeps its column of the image; a line on the print keeps its place on the sheet. A
// turned image's columns count from the other end before the turn.
Findings find_line(bool in_scanner, bool same_sheet) {
  const Layout layout = two_way_machine();
  Causes first;
  first.lines = {{0.3, 1, 0.75}};
  Causes second;
  second.lines = {{in_scanner ? 0.7 : 0.3, 1, 0.75}};
  ScanOptions turned = noisy_scan(52);
  turned.turn_deg = 180;
  const Chart chart = bench_chart();
  LocateOptions options;
  options.same_sheet = same_sheet;
  return locate(layout, &chart, {scanned(layout, first, noisy_scan(51)), scanned(layout, second, turned)},
                options)
      .findings;
}

TEST(TurnedSheet, ConfirmsALineOfTheScanner) {
  const auto lines = streaks_by(find_line(true, true), Cause::scanner_line);
  ASSERT_EQ(lines.size(), 2U);
  for (const Streak& line : lines) EXPECT_EQ(line.kept_scan_column, std::optional<bool>(true));
}

TEST(TurnedSheet, ALineThatGoesRoundWithTheSheetIsThePrints) {
  const Findings found = find_line(false, true);
  EXPECT_TRUE(streaks_by(found, Cause::scanner_line).empty());
  const auto lines = streaks_by(found, Cause::unknown);
  ASSERT_EQ(lines.size(), 2U);
  for (const Streak& line : lines) EXPECT_EQ(line.kept_scan_column, std::optional<bool>(false));
}

// Two sheets may have the same fault, and two scans of them show the same dirt.
TEST(TurnedSheet, OtherSheetsConfirmNothing) {
  for (const Streak& line : streaks_by(find_line(true, false), Cause::scanner_line))
    EXPECT_EQ(line.kept_scan_column, std::nullopt);
}

}  // namespace
}  // namespace scrapetrace
