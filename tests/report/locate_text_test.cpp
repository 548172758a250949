#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "report/sample.h"
#include "scrapetrace/report.h"

namespace scrapetrace::report {
namespace {

std::string first_line(const std::string& text) {
  return text.substr(0, text.find('\n'));
}

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

// The same text with runs of blanks and line ends as one blank, so that wrapping does not matter.
std::string flat(const std::string& text) {
  std::istringstream words(text);
  std::string out;
  for (std::string word; words >> word;) out += (out.empty() ? "" : " ") + word;
  return out;
}

TEST(LocateText, OpensWithTheAnswer) {
  const std::string text = locate_text(sample::layout(), sample::findings());
  EXPECT_EQ(first_line(text), "Clean head 3, left side, faceplate first (82 %).");
  EXPECT_TRUE(holds(flat(text), "Where: 1.6 mm outward of the head's outermost jet (+-0.30 mm)."));
  EXPECT_TRUE(holds(flat(text), "On the print: streak 1 at "));
  EXPECT_TRUE(holds(flat(text), "over 164.9 mm of the sheet while its carriage is at home."));
  EXPECT_TRUE(holds(flat(text), "Rival: head 2, right side, faceplate (11 %). A scan of a second sheet"));
}

TEST(LocateText, PutsTheCautionsBeforeTheSteps) {
  const std::string text = locate_text(sample::layout(), sample::findings());
  const auto caution = text.find("CAUTION");
  ASSERT_NE(caution, std::string::npos);
  EXPECT_LT(caution, text.find("What to do"));
  for (const auto* word : {"Switch off", "mains", "hot", "move", "Gloves", "eye protection", "No metal",
                           "jets", "Trained staff", "service documentation"}) {
    std::string lower = flat(text);
    std::string wanted = word;
    for (auto* s : {&lower, &wanted}) std::transform(s->begin(), s->end(), s->begin(), ::tolower);
    EXPECT_TRUE(holds(lower, wanted)) << word;
  }
}

TEST(LocateText, SaysWhichScansShowAStreak) {
  Findings findings = sample::findings();
  EXPECT_FALSE(holds(flat(locate_text(sample::layout(), findings)), " scans: "));
  findings.scans.push_back(findings.scans.front());
  findings.scans.front().file = "first.tif";
  EXPECT_TRUE(holds(flat(locate_text(sample::layout(), findings)), "on 1 of 2 scans: first.tif"));
}

TEST(LocateText, ListsDeadJetsAsNoScrape) {
  const std::string text = flat(locate_text(sample::layout(), sample::findings()));
  EXPECT_TRUE(
      holds(text, "Not a scrape - streak 2: dead or weak jet, head 2, ink cyan, jet 57 (dead) (95 %)."));
}

TEST(LocateText, GivesAdviceForEveryOtherCause) {
  for (const auto cause : {Cause::dead_jet, Cause::drum_scratch, Cause::blade_haze, Cause::scanner_line,
                           Cause::seam_mismatch, Cause::sheet_damage}) {
    Findings findings;
    findings.scans = {sample::good_scan()};
    findings.streaks = {sample::other_streak(1, 60, cause)};
    const std::string text = flat(locate_text(sample::layout(), findings));
    EXPECT_TRUE(holds(text, "No head to clean: 1 streak found, with another cause.")) << to_string(cause);
    EXPECT_TRUE(holds(text, "Not a scrape - streak 1:")) << to_string(cause);
  }
}

TEST(LocateText, AsksForASecondSheetWhereOneIsDamaged) {
  Findings findings;
  findings.scans = {sample::good_scan()};
  findings.streaks = {sample::other_streak(1, 60, Cause::sheet_damage)};
  const std::string text = flat(locate_text(sample::layout(), findings));
  EXPECT_TRUE(holds(text, "damage of this sheet (95 %)")) << text;
  EXPECT_TRUE(holds(text, "Print one more sheet"));
}

TEST(LocateText, SaysWhereAContactFitsRoughlyOnly) {
  Findings findings = sample::findings();
  for (Streak& streak : findings.streaks) {
    if (streak.residue) streak.residue->poor = true;
  }
  EXPECT_TRUE(holds(flat(locate_text(sample::layout(), findings)), "it fits roughly only"));
}

TEST(LocateText, NamesTheHeadsOfASeam) {
  Findings findings;
  findings.scans = {sample::good_scan()};
  findings.streaks = {sample::other_streak(1, 60, Cause::seam_mismatch)};
  EXPECT_TRUE(holds(flat(locate_text(sample::layout(), findings)),
                    "seam mismatch, heads 2 and 3: an overlap of 0.084 mm (95 %)"));
}

TEST(LocateText, SaysThatALineKeptItsPlaceInTheScan) {
  Findings findings;
  findings.scans = {sample::good_scan()};
  findings.streaks = {sample::other_streak(1, 60, Cause::scanner_line)};
  findings.streaks[0].kept_scan_column = true;
  EXPECT_TRUE(holds(flat(locate_text(sample::layout(), findings)),
                    "scanner line, confirmed: it kept its place in the scan when the sheet was turned"));
}

TEST(LocateText, GivesWidthTimesLossOfANarrowContact) {
  Findings findings = sample::findings();
  ResidueFit& fit = *findings.streaks[1].residue;
  fit.width_resolved = false;
  fit.width_times_loss_mm = 0.034;
  fit.width_times_loss_sigma_mm = 0.006;
  EXPECT_TRUE(holds(flat(locate_text(sample::layout(), findings)),
                    "too narrow for this scan to tell its width from what it takes: width times the part of "
                    "the ink that each touch takes is 0.034 mm (+-0.006)"));
}

TEST(LocateText, CallsWhatWasNotSeenUnknown) {
  const std::string text = flat(locate_text(sample::layout(), sample::findings()));
  EXPECT_TRUE(
      holds(text,
            "Not checked: these stay unknown, not clean - X 0.0 to 5.0 mm: off the sheet. Targets: head 1, "
            "left side, insulation (40 % of it)"));
}

TEST(LocateText, NothingFoundSaysHowFineItCouldSee) {
  Findings none;
  none.scans = {sample::good_scan()};
  const std::string text = locate_text(sample::layout(), none);
  EXPECT_EQ(first_line(text), "Nothing found: no streak in what the scans show.");
  EXPECT_TRUE(holds(flat(text), "would show from 0.09 mm wide"));
  EXPECT_FALSE(holds(text, "CAUTION"));
}

TEST(LocateText, CouldNotLookGivesTheReason) {
  Findings failed;
  ScanReport scan;
  scan.file = "torn.png";
  scan.verdict = QualityVerdict::rescan;
  scan.reasons = {"The file ends after 40 % of its rows: scan again."};
  failed.scans = {scan};
  const std::string text = locate_text(sample::layout(), failed);
  EXPECT_EQ(first_line(text),
            "Could not look: no scan could be analysed. This says nothing about the heads.");
  EXPECT_TRUE(holds(flat(text), "torn.png: could not be analysed The file ends after 40 % of its rows"));
  EXPECT_FALSE(holds(text, "Nothing found"));
}

TEST(LocateText, OwnsUpToAnUndecidedContact) {
  Findings findings = sample::findings();
  EXPECT_TRUE(holds(flat(locate_text(sample::layout(), findings)), "upstream of its jets (90 %)"));
  findings.streaks[1].residue->probability_downstream = 0.5;
  EXPECT_TRUE(
      holds(flat(locate_text(sample::layout(), findings)), "upstream or downstream of its jets alike"));
}

TEST(LocateText, NeverTellsToScrapeAmongTheJets) {
  Findings findings = sample::findings();
  findings.targets[0].over_jets = true;
  findings.targets[0].outward_mm = -3.2;
  const std::string text = flat(locate_text(sample::layout(), findings));
  EXPECT_TRUE(holds(text, "3.2 mm inward of the head's outermost jet, AMONG THE JETS: never scrape there"));
  EXPECT_TRUE(holds(text, "Do not scrape head 3"));
  // The rival beyond the jets comes after the machine's own cleaning and a new print.
  EXPECT_FALSE(holds(text.substr(0, text.find("Still there: reach")), "Take it off"));
}

// Headline, steps and the quickest order agree: the machine's own cleaning first, then a hand elsewhere.
TEST(LocateText, StepsAndOrderTreatAPlaceAmongTheJetsAlike) {
  Findings findings = sample::findings();
  findings.targets[0].probability = 0.5;
  findings.targets[0].over_jets = true;
  findings.targets[1].probability = 0.4;
  findings.targets.push_back(sample::second_target());
  findings.targets[2].head = "4";
  findings.order = {{{1}, 4, 0.4}, {{2}, 4, 0.5}};
  findings.expected_cleaning_min = 9;
  const std::string text = flat(locate_text(sample::layout(), findings));
  const auto own = text.find("Do not scrape head 3: run the machine's own head cleaning");
  const auto rival = text.find("Still there: reach head 2, right side");
  EXPECT_LT(own, rival);
  EXPECT_NE(rival, std::string::npos);
  EXPECT_TRUE(holds(text, "Quickest on average: 2, then 3"));
  EXPECT_TRUE(holds(text, "For 1, among the jets: the machine's own head cleaning before any visit"));
}

TEST(LocateText, SaysWhichPartOfAContactMayBeTouched) {
  Findings findings = sample::findings();
  findings.targets[0].over_jets = true;
  findings.targets[0].touch_from_mm = 0.7;
  const std::string text = flat(locate_text(sample::layout(), findings));
  EXPECT_TRUE(holds(text, "PARTLY AMONG THE JETS: touch it only from 0.7 mm outward of its outermost jet"));
  EXPECT_TRUE(holds(text, "Take it off only from 0.7 mm outward of its outermost jet"));
  EXPECT_TRUE(holds(text, "never scrape there"));
}

TEST(LocateText, ListsWhatNoEyeSeesApart) {
  Findings findings = sample::findings();
  findings.streaks = {sample::residue_streak()};
  findings.streaks[0].visible = false;
  findings.streaks[0].contrast = 0.07;
  findings.traces = {sample::first_target()};
  findings.targets.clear();
  const std::string text = flat(locate_text(sample::layout(), findings));
  EXPECT_TRUE(holds(text, "Traces, no reason to open the machine 82 % head 3, left side, faceplate"));
  EXPECT_TRUE(holds(text, "too faint to see: print again later and compare"));
  EXPECT_TRUE(holds(text, "too faint for an eye to see (contrast 0.07 L* at 350 mm; 0.2 is needed)"));
  EXPECT_TRUE(holds(text, "Leave the machine alone"));
  EXPECT_FALSE(holds(text, "CAUTION"));
}

TEST(LocateText, StaysInsideAHundredColumnsOfPlainText) {
  Findings findings = sample::findings();
  findings.scans[0].file = std::string(300, 'x') + "\x1b]0;title\x07.tif";
  findings.unchecked[0].reason = "off\nthe sheet";
  const std::string text = locate_text(sample::layout(), findings);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 100U) << line;
  for (const char c : text) EXPECT_TRUE(c == '\n' || (c >= ' ' && c <= '~')) << static_cast<int>(c);
}

}  // namespace
}  // namespace scrapetrace::report
