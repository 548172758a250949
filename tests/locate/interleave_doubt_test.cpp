// Pages read with the wrong direction of travel or order of passes: no drum is blamed for what a contact
// drew.

#include <gtest/gtest.h>

#include <algorithm>

#include "locate/doubt_interleave.h"
#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_machine;
using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::residue_at;
using testing::scanned;
using testing::streaks_by;
using testing::streaks_of;

constexpr double kSure = 0.9;

double given(const Streak& streak, Cause cause) {
  return streak.causes[static_cast<std::size_t>(cause)];
}

bool any_beyond(const Findings& findings) {
  return std::any_of(findings.streaks.begin(), findings.streaks.end(),
                     [](const Streak& s) { return s.beyond_layout; });
}

Layout with_passes(std::vector<int> shift_px) {
  Layout layout = bench_machine();
  layout.interleave.shift_px = std::move(shift_px);
  return layout;
}

Layout travelling_back() {
  Layout layout = bench_machine();
  for (Carriage& carriage : layout.carriages) carriage.travel = -1;
  return layout;
}

// Strong ones in the middle of a head, where only travel and the passes' order draw the profile.
TEST(InterleaveDoubt, BlamesNoDrumForAContactReadWithAWrongOrder) {
  const Layout real = bench_machine();
  int helped = 0;  // told, refused by the jets' pattern, or the right place all the same
  for (const double width_mm : {0.6, 1.5, 3.0}) {
    const auto causes = only(residue_at(real, 0, Side::right, 1.0, width_mm, 0.5));
    const ScanInput scan = scanned(real, causes, noisy_scan(3));
    for (const Layout& wrong :
         {with_passes({12, 9, 6, 3, 0}), with_passes({6, 0, 12, 3, 9}), travelling_back()}) {
      const Findings found = find(wrong, {scan});
      const bool refused = !found.scans[0].analysed() || found.layout_unproved();
      const bool right = !found.targets.empty() && found.targets[0].head == real.heads[0].name &&
                         found.targets[0].side == Side::right;
      for (const Streak& s : found.streaks)
        EXPECT_LT(given(s, Cause::drum_scratch), kSure) << width_mm << ' ' << streaks_of(found);
      helped += any_beyond(found) || refused || right ? 1 : 0;
    }
  }
  EXPECT_GE(helped, 5);  // of nine; the narrowest contact fits nothing, and is no wider than a line at a seam
}

Causes scratches(std::vector<DrumScratch> list) {
  Causes causes;
  causes.scratches = std::move(list);
  return causes;
}

TEST(InterleaveDoubt, LeavesTrueScratchesOfTheDrum) {
  const Layout layout = bench_machine();
  const Findings one = find(layout, scratches({{45.0, 0.5, 0.6, {}}}), noisy_scan(4));
  ASSERT_EQ(streaks_by(one, Cause::drum_scratch).size(), 1U) << streaks_of(one);
  EXPECT_GT(given(streaks_by(one, Cause::drum_scratch)[0], Cause::drum_scratch), kSure);
  EXPECT_FALSE(any_beyond(one));
  const Findings two = find(layout, scratches({{45.0, 0.5, 0.6, {}}, {46.1, 0.4, 0.5, {}}}), noisy_scan(4));
  const auto named = streaks_by(two, Cause::drum_scratch);
  ASSERT_EQ(named.size(), 2U) << streaks_of(two);
  for (const Streak& s : named) EXPECT_GT(given(s, Cause::drum_scratch), kSure);
  EXPECT_FALSE(any_beyond(two));
}

Streak scratch_at(double x_sheet_mm, double width_mm) {
  Streak s;
  s.x_sheet_mm = x_sheet_mm;
  s.width_mm = width_mm;
  s.y_sheet_mm = {{10, 100}};
  s.loss = 0.5;
  s.causes[static_cast<std::size_t>(Cause::drum_scratch)] = 0.99;
  s.causes[static_cast<std::size_t>(Cause::residue)] = 0.01;
  return s;
}

TEST(InterleaveDoubt, TakesOverlappingScratchesForOneContact) {
  Findings findings;
  findings.streaks = {scratch_at(50, 2), scratch_at(51, 2), scratch_at(60, 2)};
  locate_detail::doubt_interleave(bench_machine(), {}, findings);
  for (const std::size_t k : {0U, 1U}) {
    EXPECT_EQ(findings.streaks[k].likeliest(), Cause::unknown);
    EXPECT_TRUE(findings.streaks[k].beyond_layout);
    EXPECT_NEAR(given(findings.streaks[k], Cause::unknown) + given(findings.streaks[k], Cause::drum_scratch) +
                    given(findings.streaks[k], Cause::residue),
                1, 1e-12);
  }
  EXPECT_EQ(findings.streaks[2].likeliest(), Cause::drum_scratch);
  EXPECT_FALSE(findings.streaks[2].beyond_layout);
}

TEST(InterleaveDoubt, LeavesScratchesOfDifferentPartsOfTheSheet) {
  Findings findings;
  findings.streaks = {scratch_at(50, 2), scratch_at(50.5, 2)};
  findings.streaks[1].y_sheet_mm = {{110, 160}};
  locate_detail::doubt_interleave(bench_machine(), {}, findings);
  EXPECT_FALSE(any_beyond(findings));
}

}  // namespace
}  // namespace scrapetrace
