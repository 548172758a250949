// Everything that draws streaks, named for what it is.

#include <gtest/gtest.h>

#include <ostream>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::find;
using testing::noisy_scan;
using testing::only;
using testing::residue_at;
using testing::streaks_by;
using testing::two_way_machine;

constexpr double kSure = 0.9;

double given(const Streak& streak, Cause cause) {
  return streak.causes[static_cast<std::size_t>(cause)];
}

void expect_no_target(const Findings& findings) {
  for (const Target& t : findings.targets)
    EXPECT_LT(t.probability, 0.2) << t.head << " " << to_string(t.side);
}

TEST(Causes, NothingWrongIsNothingFound) {
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    PrintOptions print;
    print.machine_seed = seed;
    const Findings found = find(two_way_machine(), Causes{}, noisy_scan(seed), print);
    EXPECT_TRUE(found.scans[0].analysed());
    EXPECT_TRUE(found.streaks.empty()) << seed;
    EXPECT_TRUE(found.targets.empty()) << seed;
  }
}

struct Jet {
  WeakJet jet;
  const char* head;
  const char* ink;
};
void PrintTo(const Jet& jet, std::ostream* out) {
  *out << "head " << jet.head << " " << jet.ink << " jet " << jet.jet.jet;
}

class Jets : public ::testing::TestWithParam<Jet> {};

TEST_P(Jets, AreNamed) {
  Causes causes;
  causes.jets = {GetParam().jet};
  const Findings found = find(two_way_machine(), causes, noisy_scan(2));
  ASSERT_EQ(found.streaks.size(), 1U);
  const Streak& streak = found.streaks[0];
  EXPECT_GT(given(streak, Cause::dead_jet), kSure);
  ASSERT_TRUE(streak.jet.has_value());
  EXPECT_EQ(streak.jet->head, GetParam().head);
  EXPECT_EQ(streak.jet->ink, GetParam().ink);
  EXPECT_EQ(streak.jet->jet, GetParam().jet.jet);
  EXPECT_NEAR(streak.jet->loss, GetParam().jet.loss, 0.15);
  EXPECT_EQ(streak.inks, std::vector<std::string>{GetParam().ink});
  expect_no_target(found);
}

INSTANTIATE_TEST_SUITE_P(Causes, Jets,
                         ::testing::Values(Jet{{0, 0, 100, 1}, "1", "cyan"},
                                           Jet{{0, 1, 141, 1}, "1", "magenta"},
                                           Jet{{1, 0, 60, 1}, "2", "cyan"}, Jet{{1, 2, 90, 1}, "2", "yellow"},
                                           Jet{{0, 0, 120, 0.6}, "1", "cyan"},
                                           Jet{{1, 1, 30, 0.55}, "2", "magenta"}));

// Beside a patch's end, where the scan's blur is measured: the end is no clean step there, and must not
// count.
TEST(Causes, ADeadJetAtTheEndOfThePrint) {
  for (const int jet : {50, 51}) {  // 18.4 to 19.5 mm; the patches end at 18 mm
    Causes causes;
    causes.jets = {{0, 1, jet, 1}};
    const Findings found = find(two_way_machine(), causes, noisy_scan(3));
    ASSERT_EQ(found.streaks.size(), 1U);
    EXPECT_GT(given(found.streaks[0], Cause::dead_jet), kSure);
    ASSERT_TRUE(found.streaks[0].jet.has_value());
    EXPECT_EQ(found.streaks[0].jet->jet, jet);
    EXPECT_NEAR(found.streaks[0].jet->loss, 1, 0.03);
    expect_no_target(found);
  }
}

TEST(Causes, AScratch) {
  Causes causes;
  causes.scratches = {{47.02, 0.7, 0.5, {}}};
  const Findings found = find(two_way_machine(), causes, noisy_scan(3));
  ASSERT_EQ(found.streaks.size(), 1U);
  EXPECT_GT(given(found.streaks[0], Cause::drum_scratch), kSure);
  EXPECT_NEAR(found.streaks[0].x_drum_mm, 47.37, 0.1);
  EXPECT_NEAR(found.streaks[0].width_mm, 0.7, 0.15);
  EXPECT_NEAR(found.streaks[0].loss, 0.5, 0.1);
  expect_no_target(found);
}

TEST(Causes, BladeHaze) {
  Causes causes;
  causes.hazes = {{47, 4, 0.07, {}}};
  const Findings found = find(two_way_machine(), causes, noisy_scan(4));
  ASSERT_EQ(found.streaks.size(), 1U);
  EXPECT_GT(given(found.streaks[0], Cause::blade_haze), kSure);
  EXPECT_NEAR(found.streaks[0].x_drum_mm, 47, 0.4);
  EXPECT_NEAR(found.streaks[0].width_mm, 4, 1);
  EXPECT_LT(found.streaks[0].loss, 0);  // ink added
  expect_no_target(found);
}

TEST(Causes, AScannerLine) {
  for (const double gain : {0.75, 1.08}) {
    Causes causes;
    causes.lines = {{0.4, 1, gain}};
    ScanOptions scan = noisy_scan(5);
    scan.skew_deg = 0.5;
    const Findings found = find(two_way_machine(), causes, scan);
    ASSERT_EQ(found.streaks.size(), 1U) << gain;
    EXPECT_GT(given(found.streaks[0], Cause::scanner_line), kSure);
    expect_no_target(found);
  }
}

// Two causes in one place: what the scrape leaves of a dead jet's neighbours shows both.
TEST(Causes, AScrapeOverADeadJet) {
  const Layout layout = two_way_machine();
  Residue residue = residue_at(layout, 0, Side::right, -1.5, 1.2, 0.5);
  Causes causes = only(residue);
  causes.jets = {{0, 0, 181, 1}};  // columns 945 to 957, 60.0 to 60.8 mm
  const Findings found = find(layout, causes, noisy_scan(6, 600));
  const auto scrapes = streaks_by(found, Cause::residue);
  const auto jets = streaks_by(found, Cause::dead_jet);
  ASSERT_EQ(scrapes.size(), 1U);
  ASSERT_EQ(jets.size(), 1U);
  EXPECT_NEAR(scrapes[0].residue->x_drum_mm, residue.x_mm + 0.6, 0.15);
  EXPECT_EQ(jets[0].jet->head, "1");
  EXPECT_EQ(jets[0].jet->ink, "cyan");
  EXPECT_EQ(jets[0].jet->jet, 181);
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
}

// The narrowest scrape touches few columns of all inks; a dead jet, few columns of one.
TEST(Causes, ANarrowScrapeIsNoDeadJet) {
  const Layout layout = two_way_machine();
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    const Residue residue =
        residue_at(layout, 0, Side::right, 0.5 + 0.3 * static_cast<double>(seed), 0.15, 0.6);
    const Findings scrape = find(layout, only(residue), noisy_scan(seed));
    ASSERT_EQ(scrape.streaks.size(), 1U);
    EXPECT_GT(given(scrape.streaks[0], Cause::residue), kSure);
    ASSERT_FALSE(scrape.targets.empty());
    EXPECT_EQ(scrape.targets[0].head, "1");
    EXPECT_EQ(scrape.targets[0].side, Side::right);
    Causes dead;
    dead.jets = {{0, 0, static_cast<int>(170 + seed), 1}};
    const Findings jet = find(layout, dead, noisy_scan(seed));
    ASSERT_EQ(jet.streaks.size(), 1U);
    EXPECT_GT(given(jet.streaks[0], Cause::dead_jet), kSure);
    expect_no_target(jet);
  }
}

// Ends of a contact that lasts for part of a revolution are good to one strip, and to the white between
// bands.
TEST(Causes, AScrapeOfPartOfTheSheetHasItsEnds) {
  const Layout layout = two_way_machine();
  Residue residue = residue_at(layout, 0, Side::right, 1.5, 0.8, 0.6);
  residue.y = {32, 76};  // magenta and yellow, white to white
  const Findings found = find(layout, only(residue), noisy_scan(7));
  ASSERT_EQ(found.streaks.size(), 1U);
  const Streak& streak = found.streaks[0];
  ASSERT_EQ(streak.y_sheet_mm.size(), 1U);
  EXPECT_NEAR(streak.y_sheet_mm[0].from_mm, 34, 2);
  EXPECT_NEAR(streak.y_sheet_mm[0].to_mm, 74, 2);
  EXPECT_EQ(streak.inks, (std::vector<std::string>{"magenta", "yellow"}));
  EXPECT_EQ(streak.likeliest(), Cause::residue);
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
}

// Five causes, far apart, on one page.
TEST(Causes, AllOnOnePage) {
  const Layout layout = two_way_machine();
  Causes causes = only(residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5));
  causes.jets = {{0, 0, 80, 1}};
  causes.scratches = {{45, 0.6, 0.5, {}}};
  causes.hazes = {{90, 4, 0.08, {}}};
  causes.lines = {{0.75, 1, 0.75}};
  const Findings found = find(layout, causes, noisy_scan(8));
  for (const Cause cause :
       {Cause::residue, Cause::dead_jet, Cause::drum_scratch, Cause::blade_haze, Cause::scanner_line}) {
    EXPECT_EQ(streaks_by(found, cause).size(), 1U) << to_string(cause);
  }
  EXPECT_EQ(found.streaks.size(), 5U);
  for (std::size_t k = 0; k < found.streaks.size(); ++k) {
    EXPECT_EQ(found.streaks[k].id, k + 1);
    if (k > 0) {
      EXPECT_GE(found.streaks[k].x_sheet_mm, found.streaks[k - 1].x_sheet_mm);
    }
  }
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
  const auto scrape = streaks_by(found, Cause::residue);
  ASSERT_EQ(scrape.size(), 1U);
  EXPECT_EQ(found.targets[0].streaks, std::vector<std::size_t>{scrape[0].id});
}

void expect_same_bits(const Findings& several, const Findings& one, int threads) {
  ASSERT_EQ(several.streaks.size(), one.streaks.size()) << threads;
  for (std::size_t k = 0; k < one.streaks.size(); ++k) {
    EXPECT_EQ(several.streaks[k].causes, one.streaks[k].causes);
    EXPECT_EQ(several.streaks[k].x_drum_mm, one.streaks[k].x_drum_mm);
    EXPECT_EQ(several.streaks[k].loss, one.streaks[k].loss);
    EXPECT_EQ(several.streaks[k].z, one.streaks[k].z);
  }
  ASSERT_EQ(several.targets.size(), one.targets.size()) << threads;
  for (std::size_t k = 0; k < one.targets.size(); ++k) {
    EXPECT_EQ(several.targets[k].probability, one.targets[k].probability);
    EXPECT_EQ(several.targets[k].x_drum_mm, one.targets[k].x_drum_mm);
  }
}

// Every number of it, to the last bit: a strong scrape and a faint one, a jet, and heads that stand off; and
// a scrape alone, whose explanation has all threads for itself.
TEST(Causes, AreTheSameOnAnyNumberOfThreads) {
  Layout layout = two_way_machine();
  layout.carriages[1].offset_mm = 0.03;
  const Causes alone = only(residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5));
  Causes many = alone;
  many.residues.push_back(residue_at(layout, 1, Side::right, -20, 0.8, 0.02));
  many.jets = {{0, 0, 80, 1}};
  const Chart chart = testing::bench_chart();
  for (const Causes& causes : {many, alone}) {
    const std::vector<ScanInput> scans{testing::scanned(layout, causes, noisy_scan(9))};
    const auto found = [&](int threads) {
      LocateOptions options;
      options.threads = threads;
      return locate(layout, &chart, scans, options).findings;
    };
    const Findings one = found(1);
    ASSERT_GE(one.streaks.size(), causes.residues.size());
    for (const int threads : {2, 5}) expect_same_bits(found(threads), one, threads);
  }
}

}  // namespace
}  // namespace scrapetrace
