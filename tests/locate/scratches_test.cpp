// A scratch in the drum was told as residue with certainty: its search had stopped at one of the scratch's
// ends.

#include <gtest/gtest.h>

#include <cmath>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_machine;

class WideScratch : public ::testing::TestWithParam<std::pair<double, double>> {};

TEST_P(WideScratch, SendsNobodyToAHead) {
  const auto [width_mm, loss] = GetParam();
  const Layout layout = bench_machine();
  for (const double x_mm : {31.0, 42.3, 70.1, 88.7}) {
    Causes causes;
    causes.scratches = {DrumScratch{x_mm, width_mm, loss, {}}};
    const Findings found = testing::find(layout, causes, testing::noisy_scan(7));
    ASSERT_FALSE(found.streaks.empty()) << x_mm;
    EXPECT_TRUE(found.targets.empty()) << x_mm << ": head " << found.targets.front().head;
    for (const Streak& streak : found.streaks)
      EXPECT_GT(streak.causes[static_cast<std::size_t>(Cause::drum_scratch)], 0.9) << x_mm;
  }
}

INSTANTIATE_TEST_SUITE_P(Wide, WideScratch,
                         ::testing::Values(std::pair{1.0, 0.1}, std::pair{1.42, 0.084}, std::pair{2.0, 0.1},
                                           std::pair{3.0, 0.1}),
                         [](const auto& given) {
                           return "Of" + std::to_string(std::lround(1000 * given.param.first)) +
                                  "Micrometres";
                         });

}  // namespace
}  // namespace scrapetrace
