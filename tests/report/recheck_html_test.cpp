#include "report/recheck_html.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "report/sample.h"

namespace scrapetrace::report {
namespace {

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

// The sample's residue half gone after its place was cleaned; its dead jet gone.
struct Told {
  Layout layout = sample::layout();
  RecheckEvidence evidence;
  std::vector<Cleaned> cleaned{{"3", Side::left, ""}};
  RecheckOptions options;
  Recheck result;
  Told() {
    evidence.before = sample::findings();
    evidence.after = sample::findings();
    evidence.after.streaks = {sample::residue_streak()};
    evidence.after.streaks[0].loss = 0.15;
    for (auto* findings : {&evidence.before, &evidence.after}) {
      for (auto& streak : findings->streaks) {
        if (streak.likeliest() == Cause::residue)
          streak.targets = {{"3", Side::left, "faceplate", 0.82}, {"2", Side::right, "faceplate", 0.11}};
      }
    }
    evidence.of_before = {{{Reading{true, 0.6, 0.01}}, {Reading{true, 0.31, 0.01}}},
                          {{Reading{true, 0.0, 0.01}}, {Reading{true, 0.15, 0.01}}}};
    evidence.of_after = {{{Reading{true, 0.31, 0.01}}}, {{Reading{true, 0.15, 0.01}}}};
    evidence.white_after = {{Reading{true, 0, 0.001}}};
    result = recheck(layout, evidence, cleaned, options);
  }
  [[nodiscard]] RecheckStory story(LengthUnit unit = LengthUnit::mm) const {
    return {layout, evidence, cleaned, options, result, unit};
  }
};

TEST(RecheckHtml, NamesStreaksByTheirChangeOnBothPagesAndAtTheHeads) {
  const Told told;
  ASSERT_EQ(told.result.changes.size(), 2U);
  const std::string page = recheck_html(told.story(), {});
  EXPECT_TRUE(holds(page, "<h3>Streak 1: gone (dead or weak jet)</h3>"));
  EXPECT_TRUE(holds(page, "<h3>Streak 2: fainter by 52 %"));
  EXPECT_TRUE(holds(page, ">1 jet</text>") && holds(page, ">1 gone</text>"));
  EXPECT_TRUE(holds(page, ">2 residue</text>") && holds(page, ">2 fainter</text>"));
  EXPECT_TRUE(holds(page, "<g class=\"hot head s2\">"));
  EXPECT_TRUE(holds(page, "id=\"streak-2\"") && holds(page, "id=\"target-1\""));
  EXPECT_TRUE(holds(page, "(cleaned)"));
}

TEST(RecheckHtml, ShowsCautionsOnlyWhereACoverComesOff) {
  Told told;
  EXPECT_TRUE(holds(recheck_html(told.story(), {}), "<section id=\"cautions\""));
  told.result.next = NextStep::close;
  EXPECT_FALSE(holds(recheck_html(told.story(), {}), "<section id=\"cautions\""));
}

TEST(RecheckHtml, NeverTellsToScrapeAmongTheJets) {
  Told told;
  told.result.targets.front().over_jets = true;
  for (const auto& text : {recheck_html(told.story(), {}), recheck_text(told.story())}) {
    EXPECT_TRUE(holds(text, "Do not scrape there"));
    EXPECT_FALSE(holds(text, "Take it off as the service documentation says"));
  }
}

// A second streak that is new, from a place of its own: the first place is named for its own streak, and the
// second one after it.
TEST(RecheckHtml, NamesEachPlaceForItsOwnStreak) {
  Told told;
  Streak fresh = sample::residue_streak();
  fresh.id = 7;
  fresh.x_sheet_mm = 240;
  fresh.x_drum_mm = 85;
  fresh.residue->x_drum_mm = 84.3;
  fresh.targets = {{"1", Side::right, "faceplate", 0.97}};
  told.evidence.after.streaks.push_back(fresh);
  told.evidence.of_after.on_before.push_back({Reading{true, 0.0, 0.01}});
  told.evidence.of_after.on_after.push_back({Reading{true, 0.45, 0.01}});
  told.result = recheck(told.layout, told.evidence, told.cleaned, told.options);
  const std::string sentence = recheck_sentence(told.story());
  EXPECT_TRUE(holds(sentence,
                    "head 1, right side, faceplate (97 %) next: the streak at 240.0 mm is new. "
                    "Then head 3, left side, faceplate"))
      << sentence;
  EXPECT_TRUE(holds(sentence, "the streak at 164.2 mm is fainter by 52 %")) << sentence;
  const auto steps = recheck_steps(told.story());
  EXPECT_TRUE(std::any_of(steps.begin(), steps.end(), [](const std::string& step) {
    return step.rfind("The same at head 3, left side, faceplate: ", 0) == 0;
  }));
}

// A technician who reads the first line only must not go on cleaning.
TEST(RecheckHtml, SaysFirstThatTheCleaningTookJets) {
  Told told;
  told.result.next = NextStep::stop;
  told.result.jets = {{"3", "black", 2, true, JetState::lost, 0.99, 1.0, 120.0, 4, 0.4},
                      {"3", "black", 5, true, JetState::lost, 0.99, 1.0, 122.0, 5, 1.6},
                      {"1", "cyan", 7, false, JetState::lost, 0.7, 0.3, 30.0, 6, {}},
                      {"2", "cyan", 9, true, JetState::was_so, 0.99, 1.0, 60.0, 7, {}},
                      {"3", "<b>", 9, true, JetState::unknown, 0.99, 1.0, 124.0, 8, 3.0}};
  const std::string sentence = recheck_sentence(told.story());
  EXPECT_EQ(sentence,
            "Stop: 2 jets of head 3 (black), the nearest 0.4 mm from the place you cleaned, no longer print. "
            "1 jet of head 1 (cyan), a head that you did not clean, probably prints less than before. "
            "Of the streaks from before: 1 gone, 1 fainter.");
  const std::string page = recheck_html(told.story(), {});
  EXPECT_TRUE(holds(page, "<p class=\"verdict\">STOP</p>"));
  EXPECT_TRUE(holds(page, "Clean nothing more for now"));
  EXPECT_FALSE(holds(page, "Take it off as the service documentation says"));
  EXPECT_TRUE(
      holds(page, "5 weak or dead: 3 lost since before, 1 so before, too, 1 not shown by the scans before"));
  EXPECT_TRUE(holds(page, "dead, as it was before") && holds(page, "&lt;b&gt;") && !holds(page, "<b>,"));
  const std::string text = recheck_text(told.story());
  EXPECT_EQ(text.rfind("Stop: 2 jets of head 3", 0), 0U) << text;
  EXPECT_TRUE(holds(page, "do not show whether it was so then"));
  EXPECT_TRUE(holds(recheck_json(told.story(), {"1", {}}), "\"step\": \"stop\""));
}

TEST(RecheckHtml, EscapesNames) {
  Told told;
  told.layout.name = "<script>alert(1)</script>";
  told.evidence.after.scans[0].file = "a&b<c>.tif";
  told.cleaned[0].surface = "<u>";
  RecheckPages pages;
  pages.provenance.command = "scrapetrace <x>";
  const std::string page = recheck_html(told.story(), pages);
  for (const char* raw : {"<script", "b<c>", "<u>", "<x>"}) EXPECT_FALSE(holds(page, raw)) << raw;
}

TEST(RecheckHtml, SpeaksInches) {
  Told told;
  told.evidence.after.scans[0].notes = {"read from 12.0 mm on"};
  const std::string page = recheck_html(told.story(LengthUnit::inch), {});
  EXPECT_TRUE(holds(page, " in from the sheet's left edge"));
  EXPECT_FALSE(holds(page, " mm from the sheet")) << page.substr(page.find(" mm from the sheet") - 200, 300);
  EXPECT_FALSE(holds(page, "12.0 mm"));
  EXPECT_TRUE(holds(recheck_json(told.story(LengthUnit::inch), {"1", {}}), " mm is fainter"));
}

TEST(ChangeDrawing, LeavesGapsWhereTheScanShowsNothing) {
  const Told told;
  ShownPlace place;
  for (int i = 0; i < 40; ++i) {
    if (i >= 18 && i < 22) continue;
    place.x_drum_mm.push_back(told.result.changes[1].x_drum_mm - 8 + 0.4 * i);
    place.loss.push_back(0.1);
  }
  const auto count = [](const std::string& svg) {
    std::size_t n = 0;
    for (auto at = svg.find("<polyline"); at != std::string::npos; at = svg.find("<polyline", at + 1)) ++n;
    return n;
  };
  EXPECT_EQ(count(change_drawing(told.layout, told.result.changes[1], 2, place, {}, LengthUnit::mm)), 2U);
}

}  // namespace
}  // namespace scrapetrace::report
