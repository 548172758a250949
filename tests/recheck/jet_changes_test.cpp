#include "recheck/jet_changes.h"

#include <gtest/gtest.h>

#include "recheck/pairs.h"

namespace scrapetrace {
namespace {

using pairs::reading;

// A dead jet of head a (jets at 2.05, 2.45, ... mm, where nothing was cleaned but the right side).
Streak dead(std::size_t id, const std::string& head, int jet, double x_mm, double probability = 0.99) {
  Streak out;
  out.id = id;
  out.scans = {0};
  out.x_drum_mm = out.x_sheet_mm = x_mm;
  out.sigma_mm = 0.02;
  out.width_mm = 0.4;
  out.loss = 0.9;
  out.inks = {"black"};
  out.causes[static_cast<std::size_t>(Cause::dead_jet)] = probability;
  out.causes[static_cast<std::size_t>(Cause::unknown)] = 1 - probability;
  out.jet = JetFit{head, "black", jet, 1.0};
  return out;
}

// The scrape at head a's right is gone; the scans after show jets dead that read `then` before.
RecheckEvidence with_jets(const std::vector<Streak>& jets, Reading then, Reading now = reading(0.9)) {
  RecheckEvidence out =
      pairs::one_streak(pairs::residue(1, 50, 0.3, 0.8, 0.15), reading(0.30), reading(0.002));
  out.after = pairs::findings(jets);
  out.of_after.on_before.assign(jets.size(), {then});
  out.of_after.on_after.assign(jets.size(), {now});
  return out;
}

Recheck judge(const RecheckEvidence& evidence,
              const std::vector<Cleaned>& cleaned = {{"a", Side::right, ""}}) {
  return recheck(pairs::layout(), evidence, cleaned, {});
}

// "No head to clean: what remains has another cause", for a head that was just ruined.
TEST(JetChanges, JetsLostAtTheCleanedHeadStopTheWork) {
  const Recheck result = judge(with_jets({dead(1, "a", 98, 41), dead(2, "a", 90, 38)}, reading(0.01)));
  ASSERT_EQ(result.jets.size(), 2U);
  for (const auto& jet : result.jets) {
    EXPECT_EQ(jet.state, JetState::lost);
    EXPECT_TRUE(jet.dead);
  }
  EXPECT_EQ(result.next, NextStep::stop);
  // Columns of 0.1 mm: jet 99, the outermost, at column 20 + 4 * 99, its middle at 41.65 mm; the zone begins
  // 1 mm before it. Jet 90 stands 9 * 0.4 mm from jet 99: 2.6 mm from the zone; jet 98 within it.
  EXPECT_NEAR(result.jets[0].from_cleaned_mm.value(), 0.0, 1e-9);
  EXPECT_NEAR(result.jets[1].from_cleaned_mm.value(), 2.6, 1e-9);
}

TEST(JetChanges, WhatWasDeadBeforeIsNotBlamedOnTheCleaning) {
  const Recheck result = judge(with_jets({dead(1, "a", 98, 41)}, reading(0.88)));
  EXPECT_EQ(result.jets.at(0).state, JetState::was_so);
  EXPECT_EQ(result.next, NextStep::other_causes);
}

TEST(JetChanges, WhatTheScansBeforeCouldNotShowIsUnknown) {
  for (const Reading& then : {Reading{}, reading(0.01, 0.3), reading(0.45, 0.05)}) {
    const Recheck result = judge(with_jets({dead(1, "a", 98, 41)}, then));
    EXPECT_EQ(result.jets.at(0).state, JetState::unknown) << then.loss;
    EXPECT_NE(result.next, NextStep::stop);
  }
  // A dead jet under the scrape that was taken off: the ink missed there before too, for another reason.
  const Recheck hidden = judge(with_jets({dead(1, "a", 98, 50.3)}, reading(0.88)));
  EXPECT_EQ(hidden.jets.at(0).state, JetState::unknown);
}

TEST(JetChanges, AWeakJetThatDiedIsLost) {
  RecheckEvidence evidence = with_jets({dead(1, "a", 98, 41)}, reading(0.3, 0.02));
  Streak weak = dead(2, "a", 98, 41);
  weak.jet->loss = 0.3;
  evidence.before.streaks.push_back(weak);
  evidence.of_before.on_before.push_back({reading(0.3, 0.02)});
  evidence.of_before.on_after.push_back({reading(0.9)});
  EXPECT_EQ(judge(evidence).jets.at(0).state, JetState::lost);
}

TEST(JetChanges, JetsLostElsewhereAreToldAndStopNothing) {
  const Recheck result = judge(with_jets({dead(1, "b", 3, 42)}, reading(0.01)));
  EXPECT_EQ(result.jets.at(0).state, JetState::lost);
  EXPECT_FALSE(result.jets.at(0).from_cleaned_mm.has_value());
  EXPECT_NE(result.next, NextStep::stop);
  // Likelier something else than a jet: none.
  EXPECT_TRUE(judge(with_jets({dead(1, "a", 3, 42, 0.4)}, reading(0.01))).jets.empty());
}

}  // namespace
}  // namespace scrapetrace
