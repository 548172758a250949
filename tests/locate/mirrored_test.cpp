// Sheets of machines whose heads stand symmetrically, with shifts in arithmetic progression: mirrored, their
// jets draw the same combs. What the technician would suffer: an upright sheet read as a mirror image, a
// scrape told as a drum scratch or as another head's.

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_machine;
using testing::noisy_scan;
using testing::only;
using testing::residue_at;

// The same mirrored, and another one end for end.
Chart bands() {
  Chart chart = testing::bench_chart();
  chart.patches.pop_back();
  return chart;
}

Findings found_on(const Layout& layout, const Causes& causes, const ScanOptions& scan,
                  const LocateOptions& options = {}) {
  const Chart chart = bands();
  return locate(layout, &chart, {{"page.png", testing::raster_of(layout, chart, causes, {}, scan)}}, options)
      .findings;
}

bool any_says(const std::vector<std::string>& sentences, const std::string& word) {
  return std::any_of(sentences.begin(), sentences.end(),
                     [&](const std::string& s) { return s.find(word) != std::string::npos; });
}

TEST(UprightSheets, AreNotReadAsMirrorImages) {
  const Layout layout = bench_machine();
  for (const double loss : {0.0, 0.08, 0.74}) {
    for (const std::uint64_t seed : {1U, 2U, 3U, 4U}) {
      const Causes causes = loss > 0 ? only(residue_at(layout, 0, Side::right, 1.5, 1.1, loss)) : Causes{};
      const Findings found = found_on(layout, causes, noisy_scan(seed));
      ASSERT_TRUE(found.scans[0].analysed());
      EXPECT_FALSE(found.scans[0].registration->face_mirrored) << loss << " " << seed;
      EXPECT_EQ(found.scans[0].registration->turn_deg, 0);
      EXPECT_FALSE(any_says(found.scans[0].notes, "taken to lie"));
      if (loss < 0.5) continue;
      ASSERT_FALSE(found.targets.empty());
      EXPECT_EQ(found.targets[0].head, "1");
      EXPECT_EQ(found.targets[0].side, Side::right);
    }
  }
}

// Two heads draw the same combs either way round; but mirrored across they would lie half a pitch (0.3 mm)
// beside the place that marks give them.
Layout off_the_middle() {
  Layout layout = bench_machine();
  layout.interleave = {10, {0, 3, 6, 9, 12, 15, 18, 21, 24, 27}};
  layout.heads = {{"1", 0, 40, 95, false}, {"2", 1, 940, 88, false}};
  layout.transfer.sheet_left_on_drum_mm += 0.103;
  return layout;
}

// The same end for end.
Findings found_on_symmetric(const Layout& read_with, const ScanOptions& scan) {
  Chart chart = bands();
  chart.patches = {{{"cyan"}, {8, 92}, {10, 30}, 1},
                   {{"magenta"}, {8, 92}, {34, 54}, 1},
                   {{"magenta"}, {8, 92}, {66, 86}, 1},
                   {{"cyan"}, {8, 92}, {90, 110}, 1}};
  const auto raster = testing::raster_of(off_the_middle(), chart, {}, {}, scan);
  return locate(read_with, &chart, {{"page.png", raster}}, {}).findings;
}

TEST(TurnedSheets, AreTurnedBackWhereOnlyTheirPlaceOnTheDrumTells) {
  for (const std::uint64_t seed : {7U, 8U}) {
    ScanOptions scan = noisy_scan(seed);
    scan.turn_deg = 180;
    const Findings found = found_on_symmetric(off_the_middle(), scan);
    ASSERT_TRUE(found.scans[0].analysed());
    EXPECT_EQ(found.scans[0].registration->turn_deg, 180) << seed;
    EXPECT_FALSE(found.scans[0].registration->face_mirrored) << seed;
  }
}

TEST(UprightSheets, StayUprightWithALayoutBesideThePrintByMoreThanItsTolerance) {
  for (const double off_mm : {-0.1, 0.1}) {
    Layout beside = off_the_middle();
    beside.transfer.sheet_left_on_drum_mm += off_mm;
    const Findings found = found_on_symmetric(beside, noisy_scan(9));
    ASSERT_TRUE(found.scans[0].analysed());
    EXPECT_EQ(found.scans[0].registration->turn_deg, 0) << off_mm;
  }
}

// Nothing but the streak itself could tell: then nobody is sent anywhere with certainty.
TEST(MirroredSheets, OfSymmetricHeadsNameNoWrongPlaceForSure) {
  const Layout layout = bench_machine();
  for (const std::uint64_t seed : {1U, 2U, 3U, 4U}) {
    ScanOptions scan = noisy_scan(seed);
    scan.face_mirrored = true;
    const Findings found = found_on(layout, only(residue_at(layout, 0, Side::right, 1.5, 1.1, 0.6)), scan);
    for (const Target& target : found.targets) {
      if (target.head == "1" && target.side == Side::right) continue;
      EXPECT_LE(target.probability, 0.5) << target.head << " " << to_string(target.side) << " " << seed;
    }
  }
}

TEST(MirroredSheets, AreReadRightWhenTheUserSaysSo) {
  const Layout layout = bench_machine();
  ScanOptions scan = noisy_scan(5);
  scan.face_mirrored = true;
  LocateOptions options;
  options.mirrored = true;
  const Findings found =
      found_on(layout, only(residue_at(layout, 0, Side::right, 1.5, 1.1, 0.6)), scan, options);
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
  EXPECT_GT(found.targets[0].probability, 0.8);
  EXPECT_TRUE(found.scans[0].registration->face_mirrored);
  EXPECT_TRUE(any_says(found.scans[0].notes, "mirror image"));
}

TEST(MirroredSheets, AreNeverTakenForSoWhenTheUserRulesItOut) {
  const Layout layout = testing::two_way_machine();  // whose jets would tell
  ScanOptions scan = noisy_scan(6);
  scan.face_mirrored = true;
  LocateOptions options;
  options.mirrored = false;
  const Findings found = found_on(layout, {}, scan, options);
  for (const ScanReport& report : found.scans) {
    if (report.analysed()) {
      EXPECT_FALSE(report.registration->face_mirrored);
    }
  }
}

}  // namespace
}  // namespace scrapetrace
