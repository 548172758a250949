// What a streak says of its cause is what the likeliest hypothesis says, wherever that stands in the list.

#include "locate/make_streaks.h"

#include <gtest/gtest.h>

#include "support/raster_of.h"

namespace scrapetrace::locate_detail {
namespace {

diagnose::Explanation explained_by(Cause cause) {
  diagnose::Explanation e;
  e.causes[static_cast<std::size_t>(cause)] = 1;
  e.visible_mm = {60, 60.1};
  e.tracks.resize(1);
  return e;
}

// A seam's gap was once told that another gap had beaten when the weights were tempered.
TEST(MakeStreaks, SeamIsToldWithItsLikeliestGap) {
  const Layout layout = testing::bench_machine();
  diagnose::Explanation e = explained_by(Cause::seam_mismatch);
  e.found.seam.all = {{{0, 1, {60, 60}, {60, 60.3}, 0.3}, -9, 0, 100},
                      {{0, 1, {60, 60}, {60, 60.1}, 0.1}, -0.1, 0, 90}};
  e.found.seam.add_up();
  const Streak streak = make_streak(layout, std::vector<profile::PreparedScan>(1), e);
  ASSERT_TRUE(streak.seam);
  EXPECT_EQ(streak.seam->gap_mm, 0.1);
}

TEST(MakeStreaks, JetIsToldThatIsLikeliest) {
  const Layout layout = testing::bench_machine();
  diagnose::Explanation e = explained_by(Cause::dead_jet);
  e.found.jet.all = {{{0, 1, 70, 0.2}, -5, 0, 100}, {{0, 1, 71, 0.9}, -0.1, 0, 90}};
  e.found.jet.add_up();
  const Streak streak = make_streak(layout, std::vector<profile::PreparedScan>(1), e);
  ASSERT_TRUE(streak.jet);
  EXPECT_EQ(streak.jet->jet, 71);
}

}  // namespace
}  // namespace scrapetrace::locate_detail
