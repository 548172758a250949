// Scrapes that hardly show beside the jets' own variation: they are not sought over the whole page, because
// that search takes the model for exact to a per mille. What is promised is that nobody is misled by them.

#include <gtest/gtest.h>

#include <algorithm>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::residue_at;
using testing::scanned;
using testing::streaks_of;
using testing::two_way_machine;

bool names_another_place(const Findings& findings) {
  return std::any_of(findings.targets.begin(), findings.targets.end(), [](const Target& target) {
    return target.probability > 0.5 && (target.head != "1" || target.side != Side::right);
  });
}

class WideFaintScrape : public ::testing::TestWithParam<double> {};

TEST_P(WideFaintScrape, SendsNobodyToAnotherHead) {
  const Layout layout = two_way_machine();
  const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 2.6, GetParam()));
  for (std::uint64_t seed = 41; seed <= 43; ++seed) {
    const Findings findings = find(layout, causes, noisy_scan(seed, 400));
    EXPECT_FALSE(names_another_place(findings)) << seed << ": " << streaks_of(findings);
  }
}

INSTANTIATE_TEST_SUITE_P(Losses, WideFaintScrape, ::testing::Values(0.006, 0.014, 0.03));

TEST(Faint, AScrapeUnderStrongJetsIsPlacedAsWellAsItClaims) {
  const Layout layout = two_way_machine();
  PrintOptions print;
  print.jet_variation = 0.03;
  print.grain = 0.01;
  for (const double width_mm : {0.3, 0.63, 1.2}) {
    const Residue residue = residue_at(layout, 0, Side::right, 0.8, width_mm, 0.035);
    for (std::uint64_t seed = 51; seed <= 52; ++seed) {
      const Findings findings = find(layout, only(residue), noisy_scan(seed, 300), print);
      EXPECT_FALSE(names_another_place(findings)) << width_mm << ' ' << seed << ": " << streaks_of(findings);
      if (findings.targets.empty() || findings.targets.front().head != "1") continue;
      const Target& target = findings.targets.front();
      EXPECT_NEAR(target.x_drum_mm, residue.x_mm + width_mm / 2, std::max(0.07, 3 * target.x_sigma_mm))
          << width_mm << ' ' << seed << ": " << streaks_of(findings);
    }
  }
}

// Somebody would open a hot machine for nothing: a carriage a third of a column off its file, far less than a
// service drawing promises, was read as residue with certainty.
TEST(Faint, AHealthySheetOfALayoutAThirdOfAColumnOffSendsNobodyToAHead) {
  for (const double offset_mm : {0.02, -0.02, 0.03}) {
    Layout as_built = two_way_machine();
    as_built.carriages[1].offset_mm = offset_mm;
    for (std::uint64_t seed = 1; seed <= 2; ++seed) {
      const Findings findings = find(two_way_machine(), {scanned(as_built, {}, noisy_scan(seed, 600))});
      EXPECT_TRUE(std::none_of(findings.targets.begin(), findings.targets.end(),
                               [](const Target& target) { return target.probability > 0.5; }))
          << offset_mm << ' ' << seed << ": " << streaks_of(findings);
    }
  }
}

}  // namespace
}  // namespace scrapetrace
