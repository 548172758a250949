// Whether a person would see a streak, by what the pixels show of it.

#include "scrapetrace/sight.h"

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::streaks_by;
using testing::two_way_machine;

TEST(Sight, AScrapeThatEverybodySeesNamesATarget) {
  const Layout layout = two_way_machine();
  const Findings findings =
      testing::find(layout, only(residue_at(layout, 0, Side::right, 1.2, 0.8, 0.4)), noisy_scan(1));
  const auto scrapes = streaks_by(findings, Cause::residue);
  ASSERT_EQ(scrapes.size(), 1U);
  EXPECT_TRUE(scrapes[0].visible);
  EXPECT_GT(scrapes[0].contrast, 10 * kLeastContrast);
  EXPECT_GT(probability_of(findings, "1", Side::right), 0.9);
  EXPECT_TRUE(findings.traces.empty());
}

}  // namespace
}  // namespace scrapetrace
