#include "report/answer.h"

#include <gtest/gtest.h>

#include "report/sample.h"

namespace scrapetrace::report {
namespace {

TEST(Answer, TellsNothingFoundFromCouldNotLook) {
  Findings none;
  none.scans = {sample::good_scan()};
  EXPECT_EQ(answer(none).kind, AnswerKind::nothing_found);
  none.scans[0].registration.reset();
  EXPECT_EQ(answer(none).kind, AnswerKind::could_not_look);
  EXPECT_EQ(answer(Findings{}).kind, AnswerKind::could_not_look);
}

// A strip of one head scanned clean once read 'Nothing to clean' for a machine of eight.
TEST(Answer, ASheetThatShowsNextToNothingIsNotClean) {
  Findings none;
  none.scans = {sample::good_scan()};
  none.checked = 0.04;
  const Answer blind = answer(none);
  EXPECT_EQ(blind.kind, AnswerKind::could_not_look);
  EXPECT_NE(blind.sentence.find("only 4 %"), std::string::npos) << blind.sentence;
  EXPECT_FALSE(may_open_machine(blind));
  none.streaks = {sample::other_streak(1, 60, Cause::drum_scratch)};
  EXPECT_EQ(answer(none).kind, AnswerKind::could_not_look);
  none.checked = kLeastChecked;
  EXPECT_EQ(answer(none).kind, AnswerKind::other_causes);
  Findings found = sample::findings();
  found.checked = 0.04;
  EXPECT_EQ(answer(found).kind, AnswerKind::clean);  // what is seen is seen
}

TEST(Answer, SaysFirstThatTheLayoutIsUnproved) {
  Findings findings = sample::findings();
  findings.scans[0].issues = {ScanIssue::unproved_layout};
  EXPECT_EQ(answer(findings).sentence.find("The layout is unproved"), 0U);
  findings.scans[0].registration.reset();
  EXPECT_EQ(answer(findings).sentence.find("The layout is unproved"), std::string::npos);
}

TEST(Answer, NamesATargetThatIsLikelierThanNot) {
  const Answer found = answer(sample::findings());
  EXPECT_EQ(found.kind, AnswerKind::clean);
  EXPECT_EQ(found.sentence, "Clean head 3, left side, faceplate first (82 %).");
  EXPECT_EQ(found.targets, std::vector<std::size_t>{0});
}

TEST(Answer, NamesASecondJobOnlyForAnotherStreak) {
  Findings findings = sample::findings();
  findings.targets[1].probability = 0.7;
  EXPECT_EQ(answer(findings).targets.size(), 1U);  // it explains the same streak
  findings.targets[1].streaks = {2};
  const Answer found = answer(findings);
  EXPECT_EQ(found.targets, (std::vector<std::size_t>{0, 1}));
  EXPECT_NE(found.sentence.find("Then head 2, right side, faceplate (70 %)."), std::string::npos);
}

TEST(Answer, NamesBothWhenTheScansCannotDecide) {
  Findings findings = sample::findings();
  findings.targets[0].probability = 0.45;
  findings.targets[1].probability = 0.44;
  const Answer found = answer(findings);
  EXPECT_EQ(found.kind, AnswerKind::choose);
  EXPECT_NE(
      found.sentence.find("head 3, left side, faceplate (45 %) and head 2, right side, faceplate (44 %)"),
      std::string::npos);
}

TEST(Answer, NamesOneSideWhenOnlyTheSurfaceIsOpen) {
  Findings findings = sample::findings();
  findings.targets[0].probability = 0.48;
  findings.targets[1] = findings.targets[0];
  findings.targets[1].surface = "insulation";
  EXPECT_EQ(answer(findings).sentence, "Look at head 3, left side: faceplate (48 %) or insulation (48 %).");
}

TEST(Answer, SendsNobodyToAHeadForOtherCauses) {
  Findings findings = sample::findings();
  findings.targets.clear();
  findings.streaks = {sample::other_streak(1, 60, Cause::drum_scratch)};
  const Answer found = answer(findings);
  EXPECT_EQ(found.kind, AnswerKind::other_causes);
  EXPECT_EQ(found.sentence, "No head to clean: 1 streak found, with another cause.");
  findings.targets = {sample::first_target()};
  findings.targets[0].probability = 0.05;
  EXPECT_EQ(answer(findings).kind, AnswerKind::other_causes);
}

TEST(Answer, WarnsOfTheJetsInTheFirstLine) {
  Findings findings = sample::findings();
  findings.targets[0].over_jets = true;
  EXPECT_NE(answer(findings).sentence.find("never scrape there"), std::string::npos);
  EXPECT_EQ(answer(findings).sentence.find("Clean"), std::string::npos);
}

// Half of the crumb may lie across the jets: the headline says which half may be touched.
TEST(Answer, SaysWhichPartOfAContactMayBeTouched) {
  Findings findings = sample::findings();
  findings.targets[0].over_jets = true;
  findings.targets[0].touch_from_mm = 0.7;
  EXPECT_EQ(
      answer(findings).sentence,
      "Clean head 3, left side, faceplate first (82 %), only from 0.7 mm outward of its outermost jet.");
}

// Two places draw the streak, and one of them is not to be scraped: all that is said agrees on what to do.
TEST(Answer, AgreesOnARivalThatIsNotAmongTheJets) {
  Findings findings = sample::findings();
  findings.targets[0].probability = 0.55;
  findings.targets[0].over_jets = true;
  findings.targets[1].probability = 0.4;
  Answer found = answer(findings);
  EXPECT_EQ(found.targets, (std::vector<std::size_t>{0, 1}));
  EXPECT_EQ(found.sentence,
            "Likeliest: head 3, left side, faceplate (55 %), but among the jets: never scrape there. If the "
            "machine's own head cleaning does not help, look at head 2, right side, faceplate (40 %).");
  findings.targets[0].probability = 0.45;
  EXPECT_EQ(answer(findings).kind, AnswerKind::choose);
  EXPECT_NE(answer(findings).sentence.find("but among the jets: never scrape there. If the machine's own"),
            std::string::npos);
  std::swap(findings.targets[0].over_jets, findings.targets[1].over_jets);
  found = answer(findings);
  EXPECT_NE(found.sentence.find("faceplate (40 %, among the jets: never scrape there)"), std::string::npos);
}

// A technician who opens a hot machine for what nobody can see is sent there for nothing.
TEST(Answer, SendsNobodyToAHeadForWhatNoEyeSees) {
  Findings findings = sample::findings();
  findings.streaks = {sample::residue_streak()};
  findings.streaks[0].visible = false;
  findings.traces = {sample::first_target()};
  findings.targets.clear();
  const Answer found = answer(findings);
  EXPECT_EQ(found.kind, AnswerKind::too_faint);
  EXPECT_EQ(found.sentence,
            "Nothing to clean: 1 trace found, too faint to see. Print again later and compare.");
  EXPECT_FALSE(may_open_machine(found));
  findings.faint_too = true;  // as asked for
  std::swap(findings.traces, findings.targets);
  EXPECT_EQ(answer(findings).kind, AnswerKind::clean);
}

TEST(Answer, OpensTheMachineOnlyForAReason) {
  EXPECT_TRUE(may_open_machine(answer(sample::findings())));
  Findings none;
  none.scans = {sample::good_scan()};
  EXPECT_FALSE(may_open_machine(answer(none)));
  EXPECT_FALSE(may_open_machine(answer(Findings{})));
}

}  // namespace
}  // namespace scrapetrace::report
