// Causes that draw nearly the same, on machines that differ in interleave, travel and transfer.

#include <gtest/gtest.h>

#include "geometry/column_map.h"
#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::bench_machine;
using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::residue_at;
using testing::streaks_by;
using testing::two_way_machine;

// Eight passes five columns apart, travelling to the left.
Layout slow_machine() {
  Layout layout = bench_machine();
  layout.name = "slow machine";
  layout.interleave = {8, {0, 5, 10, 15, 20, 25, 30, 35}};
  layout.carriages[0].travel = -1;
  layout.carriages[1].travel = -1;
  layout.heads = {{"1", 0, 60, 120, false}, {"2", 1, 960, 100, false}};
  return layout;
}

struct Machine {
  const char* name;
  Layout (*make)();
};

class AlikeCauses : public ::testing::TestWithParam<Machine> {
 protected:
  Layout layout_ = GetParam().make();
};

// Of head 1, a few millimetres to the left of the seam, where all its columns are its own.
WeakJet jet_of_head_1(const Layout& layout, int before_the_last) {
  return {0, 1, layout.heads[0].jets - before_the_last, 1};
}

TEST_P(AlikeCauses, ADeadJetIsNoNarrowScrape) {
  for (const int jet : {12, 17}) {
    Causes causes;
    causes.jets = {jet_of_head_1(layout_, jet)};
    const Findings found = find(layout_, causes, noisy_scan(61, 400));
    ASSERT_EQ(found.streaks.size(), 1U);
    EXPECT_EQ(found.streaks[0].likeliest(), Cause::dead_jet);
    ASSERT_TRUE(found.streaks[0].jet.has_value());
    EXPECT_EQ(found.streaks[0].jet->head, "1");
    EXPECT_EQ(found.streaks[0].jet->ink, "magenta");
    EXPECT_EQ(found.streaks[0].jet->jet, causes.jets[0].jet);
    for (const Target& t : found.targets) EXPECT_LT(t.probability, 0.05);
  }
}

// A weak jet is one ink's comb as well, only paler.
TEST_P(AlikeCauses, AWeakJetIsNamedWithWhatItLacks) {
  Causes causes;
  causes.jets = {jet_of_head_1(layout_, 14)};
  causes.jets[0].loss = 0.5;
  const Findings found = find(layout_, causes, noisy_scan(62, 400));
  const auto jets = streaks_by(found, Cause::dead_jet);
  ASSERT_EQ(jets.size(), 1U);
  EXPECT_EQ(jets[0].jet->head, "1");
  EXPECT_EQ(jets[0].jet->ink, "magenta");
  EXPECT_EQ(jets[0].jet->jet, causes.jets[0].jet);
  EXPECT_NEAR(jets[0].jet->loss, 0.5, 0.1);
}

// Narrower than a jet's comb, and one column wide at the least.
TEST_P(AlikeCauses, ANarrowScrapeIsNoDeadJet) {
  for (const double width_mm : {0.08, 0.16}) {
    const Findings found =
        find(layout_, only(residue_at(layout_, 0, Side::right, -2, width_mm, 0.7)), noisy_scan(63, 400));
    ASSERT_EQ(found.streaks.size(), 1U) << width_mm;
    EXPECT_EQ(found.streaks[0].likeliest(), Cause::residue) << width_mm;
    EXPECT_LT(found.streaks[0].causes[static_cast<std::size_t>(Cause::dead_jet)], 0.01) << width_mm;
  }
}

// A contact of one column is far below three blur sigmas: width and loss are not known apart, their product
// is.
TEST_P(AlikeCauses, ANarrowScrapeGivesWidthTimesLoss) {
  const Residue residue = residue_at(layout_, 0, Side::right, -2, 0.13, 0.5);
  const Findings found = find(layout_, only(residue), noisy_scan(64));
  const auto scrapes = streaks_by(found, Cause::residue);
  ASSERT_EQ(scrapes.size(), 1U);
  EXPECT_FALSE(scrapes[0].width_resolved);
  EXPECT_FALSE(scrapes[0].residue->width_resolved);
  EXPECT_NEAR(scrapes[0].residue->width_times_loss_mm, 0.065, 0.03);
  const Findings wide =
      find(layout_, only(residue_at(layout_, 0, Side::right, -2, 1.0, 0.5)), noisy_scan(64));
  ASSERT_FALSE(wide.streaks.empty());
  EXPECT_TRUE(wide.streaks[0].width_resolved);
}

TEST_P(AlikeCauses, AScrapeOverADeadJetGivesBoth) {
  const Residue residue = residue_at(layout_, 0, Side::right, -4, 1.2, 0.4);
  Causes causes = only(residue);
  const geometry::ColumnMap columns(layout_);
  // The jet of the column in the contact's middle.
  const auto owner = columns.owner(static_cast<int>((residue.x_mm + 0.6) / layout_.px_mm()));
  ASSERT_EQ(owner.head, 0);
  causes.jets = {{0, 0, owner.jet, 1}};
  const Findings found = find(layout_, causes, noisy_scan(65, 600));
  const auto scrapes = streaks_by(found, Cause::residue);
  const auto jets = streaks_by(found, Cause::dead_jet);
  ASSERT_EQ(scrapes.size(), 1U);
  ASSERT_EQ(jets.size(), 1U);
  EXPECT_NEAR(scrapes[0].residue->x_drum_mm, residue.x_mm + 0.6, 0.15);
  EXPECT_EQ(jets[0].jet->jet, owner.jet);
  EXPECT_EQ(jets[0].jet->ink, "cyan");
}

// A box without ramps in all inks.
TEST_P(AlikeCauses, AScratchIsNoScrapeNorTheReverse) {
  for (const double width_mm : {0.4, 1.1}) {
    Causes scratch;
    scratch.scratches = {{40.3, width_mm, 0.5, {}}};
    const Findings drum = find(layout_, scratch, noisy_scan(66, 400));
    ASSERT_EQ(drum.streaks.size(), 1U) << testing::streaks_of(drum);
    EXPECT_EQ(drum.streaks[0].likeliest(), Cause::drum_scratch) << width_mm;
    for (const Target& t : drum.targets) EXPECT_LT(t.probability, 0.1) << width_mm;
    const Findings scrape =
        find(layout_, only(residue_at(layout_, 0, Side::right, -2, width_mm, 0.4)), noisy_scan(67, 400));
    ASSERT_EQ(scrape.streaks.size(), 1U);
    EXPECT_EQ(scrape.streaks[0].likeliest(), Cause::residue) << width_mm;
  }
}

INSTANTIATE_TEST_SUITE_P(Machines, AlikeCauses,
                         ::testing::Values(Machine{"TwoWay", two_way_machine},
                                           Machine{"Mirrored", [] { return bench_machine(true); }},
                                           Machine{"Slow", slow_machine}),
                         [](const auto& machine) { return std::string(machine.param.name); });

}  // namespace
}  // namespace scrapetrace
