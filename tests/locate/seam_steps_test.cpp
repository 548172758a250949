// What the print shows of a step that the layout has.

#include "locate/seam_steps.h"

#include <gtest/gtest.h>

#include "causes/pages.h"

namespace scrapetrace::locate_detail {
namespace {

using testing::bench_chart;
using testing::prepared_scan;
using testing::seam_of;
using testing::standing_off;

constexpr double kReach_mm = 0.15;

profile::PreparedScan scan_of(const Layout& layout, const Causes& causes) {
  PrintOptions print;
  print.machine_seed = 3;
  ScanOptions scan;
  scan.dpi = 400;
  scan.blur_px = 0.7;
  return prepared_scan(layout, bench_chart(), causes, print, scan);
}

TEST(ShownGap, IsAsWideAsTheLayoutHasIt) {
  for (const double gap_mm : {0.06, -0.06}) {
    const Layout layout = standing_off(gap_mm);
    EXPECT_NEAR(shown_gap_mm(scan_of(layout, {}), around(seam_of(layout), kReach_mm)).value(), gap_mm, 0.01);
  }
}

// Where it begins within what tells the level beside the step, it brightens that side only.
TEST(ShownGap, DoesNotHearAScrapeThatBeginsBesideIt) {
  for (const double gap_mm : {0.06, -0.06}) {
    const Layout layout = standing_off(gap_mm);
    const Interval step = around(seam_of(layout), kReach_mm);
    // Upstream of its jets it touches what the first passes laid, from the third displacement (0.38 mm) on.
    for (const double beside_mm : {0.2, 0.3, 0.4}) {
      Causes causes = testing::one_scrape(step.to_mm + beside_mm - 0.4, 0.3, 0.6);
      causes.residues[0].carriage = 1;  // whose ink lies right of the step
      const auto scan = scan_of(layout, causes);
      EXPECT_NEAR(shown_gap_mm(scan, step).value(), gap_mm, 0.03) << beside_mm;
    }
  }
}

}  // namespace
}  // namespace scrapetrace::locate_detail
