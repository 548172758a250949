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
