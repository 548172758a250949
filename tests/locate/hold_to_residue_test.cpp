// A place that is likelier to be dirty than the streak that points at it is to be residue sends somebody to a
// head for a drum's scratch. No answer may hold one, whatever it was put together from.

#include "locate/hold_to_residue.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "locate/merge_ways.h"
#include "locate/pages.h"

namespace scrapetrace {
namespace {

using locate_detail::WeighedAnswer;
using testing::noisy_scan;
using testing::residue_at;

constexpr auto kResidue = static_cast<std::size_t>(Cause::residue);

class RandomAnswers {
 public:
  explicit RandomAnswers(unsigned seed) : random_(seed) {}

  // Marks at random places of one raster, read `mirrored` or not; each way sees its own choice of them.
  std::vector<WeighedAnswer> ways() {
    std::vector<double> marks(static_cast<std::size_t>(whole(1, 4)));
    for (double& mark : marks) mark = uniform(10, 90);
    std::vector<WeighedAnswer> out;
    double sum = 0;
    for (int k = whole(1, 4); k > 0; --k) {
      out.push_back({{}, uniform(0.01, 1), {placed(k % 2 == 0)}, {}});
      sum += out.back().probability;
      add_streaks(marks, out.back());
    }
    for (WeighedAnswer& way : out) way.probability /= sum;
    return out;
  }

 private:
  double uniform(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random_);
  }
  int whole(int low, int high) { return std::uniform_int_distribution<int>(low, high)(random_); }

  static page::Placement placed(bool mirrored) {
    page::Placement out;
    out.chart.sheet_mm = {100, 120};
    out.map = page::make_raster_from_sheet(10, 10, mirrored, false, 0, {500, 600}, {50, 60});
    return out;
  }

  void add_streaks(const std::vector<double>& marks, WeighedAnswer& way) {
    Findings& found = way.result.findings;
    for (const double mark_mm : marks) {
      if (whole(0, 3) == 0) continue;
      Streak streak;
      streak.id = found.streaks.size() + 1;
      streak.scans = {0};
      const double u = 10 * mark_mm;
      streak.x_sheet_mm = way.placements[0].map.sheet(u, 600)[0] + uniform(-0.5, 0.5);
      const double residue = whole(0, 2) == 0 ? 0 : uniform(0, 1);
      streak.causes[kResidue] = residue;
      streak.causes[static_cast<std::size_t>(Cause::drum_scratch)] = 1 - residue;
      if (residue > 0) add_targets(residue, streak, found);
      found.streaks.push_back(streak);
    }
  }

  void add_targets(double residue, Streak& streak, Findings& found) {
    const std::string head = std::to_string(whole(1, 3));
    const double part = residue * uniform(0.2, 1);
    streak.targets = {{head, Side::left, "faceplate", part}};
    for (Target& target : found.targets) {
      if (target.head != head) continue;
      target.probability = 1 - (1 - target.probability) * (1 - part);
      target.streaks.push_back(streak.id);
      return;
    }
    Target target;
    target.head = head;
    target.surface = "faceplate";
    target.probability = part;
    target.streaks = {streak.id};
    found.targets.push_back(target);
  }

  std::mt19937 random_;
};

TEST(HeldToResidue, WhateverWaysRoundAreMerged) {
  int lowered = 0;
  for (unsigned seed = 1; seed <= 3000; ++seed) {
    auto merged = locate_detail::merge_ways(RandomAnswers(seed).ways()).findings;
    lowered += locate_detail::held_to_residue(merged) ? 0 : 1;
    locate_detail::hold_to_residue(merged);
    ASSERT_TRUE(locate_detail::held_to_residue(merged)) << seed;
    for (const Streak& streak : merged.streaks) {
      double sum = 0;
      for (const double cause : streak.causes) sum += cause;
      ASSERT_NEAR(sum, 1, 1e-9) << seed;
    }
    for (const Target& target : merged.targets) {
      ASSERT_FALSE(target.streaks.empty()) << seed;
      if (target.streaks.size() > 1) continue;
      ASSERT_LE(target.probability, merged.streaks[target.streaks.front() - 1].causes[kResidue] + 1e-9)
          << seed;
    }
  }
  EXPECT_GT(lowered, 0);  // else nothing here would need holding
}

TEST(HeldToResidue, OneStreakThatIsNoResidueSendsNobodyAnywhere) {
  Findings findings;
  Streak streak;
  streak.id = 1;
  streak.causes[static_cast<std::size_t>(Cause::drum_scratch)] = 1;
  findings.streaks = {streak};
  Target target;
  target.probability = 0.99;
  target.streaks = {1};
  findings.targets = {target};
  EXPECT_FALSE(locate_detail::held_to_residue(findings));
  locate_detail::hold_to_residue(findings);
  EXPECT_TRUE(findings.targets.empty());
}

TEST(HeldToResidue, OnPages) {
  const Layout layout = testing::two_way_machine();
  const Chart chart = testing::bench_chart();
  std::uint64_t seed = 300;
  for (const int turn : {0, 180}) {
    for (const double loss : {0.0, 0.02, 0.08, 0.5}) {
      ScanOptions scan = noisy_scan(++seed);
      scan.turn_deg = turn;
      Causes causes;
      if (loss > 0) causes.residues = {residue_at(layout, 0, Side::right, 1.5, 0.8, loss)};
      causes.scratches = {{40, 0.6, 0.3, {}}};
      const auto page = testing::scanned(layout, causes, scan);
      for (const Chart* given : {&chart, static_cast<const Chart*>(nullptr)}) {
        const Findings found = locate(layout, given, {page}, {}).findings;
        EXPECT_TRUE(locate_detail::held_to_residue(found))
            << turn << " " << loss << testing::streaks_of(found);
      }
    }
  }
}

}  // namespace
}  // namespace scrapetrace
