#include "report/accept_html.h"

#include <gtest/gtest.h>

#include "report/sample.h"

namespace scrapetrace::report {
namespace {

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

struct Told {
  Layout layout = sample::layout();
  Findings findings = sample::findings();
  Limits limits;
  Acceptance result;
  Told() {
    limits.name = "House rules";
    result.verdict = Verdict::fail;
    result.limits = {{LimitKind::loss, Verdict::fail, 0.08, 0.31, 0.01, {1}, {"proof-17.tif"}, {}},
                     {LimitKind::width, Verdict::cannot_judge, 3.5, 3.4, 0.2, {1}, {"proof-17.tif"}, {}},
                     {LimitKind::number, Verdict::pass, 3, 2, 0, {}, {}, {}},
                     {LimitKind::visible, Verdict::pass, 2, 1.2, 0.1, {1}, {"proof-17.tif"}, {}}};
  }
  [[nodiscard]] AcceptStory story() const { return {layout, findings, limits, result}; }
};

TEST(AcceptHtml, SaysValueBoundMarginAndScanPerLimit) {
  const Told told;
  const std::string page = accept_html(told.story(), {});
  EXPECT_TRUE(holds(page, "2 pass, 1 fail, 1 cannot be judged"));
  EXPECT_TRUE(holds(page, "23.0 % of the ink over: 23.0 standard deviations"));
  EXPECT_TRUE(holds(page, "0.10 mm left: 0.5 standard deviations"));
  EXPECT_TRUE(holds(page, ">1 left</td>"));
  EXPECT_TRUE(holds(page, "href=\"#streak-1\""));
  EXPECT_TRUE(holds(page, "proof-17.tif"));
  EXPECT_TRUE(holds(page, "<section id=\"unjudged\""));
}

TEST(AcceptHtml, SaysWhereTheWorstIsAndWhatWasLookedAt) {
  const Told told;
  const std::string page = accept_html(told.story(), {});
  EXPECT_TRUE(holds(page, "</a>\n at 164.2 mm</div>"));
  EXPECT_TRUE(holds(page, "no streak on 1 scan"));
  EXPECT_FALSE(holds(page, ">nothing<"));
  const std::string text = accept_text(told.story());
  EXPECT_TRUE(holds(text, "streak 1 at 164.2 mm on proof-17.tif")) << text;
  EXPECT_EQ(nothing_counts(told.story(), LimitKind::dead_jets), "no dead jet on 1 scan");
  EXPECT_EQ(nothing_counts(told.story(), LimitKind::unchecked_sides), "every side seen on 1 scan");
}

TEST(AcceptHtml, SaysNothingOfTheUnjudgedWhenAllIsJudged) {
  Told told;
  told.result.limits[1].verdict = Verdict::pass;
  EXPECT_FALSE(holds(accept_html(told.story(), {}), "<section id=\"unjudged\""));
}

TEST(AcceptHtml, EscapesNames) {
  Told told;
  told.limits.name = "<script>";
  told.result.limits[0].scans = {"a<b>.tif"};
  told.result.limits[0].places = {"<u>"};
  const std::string page = accept_html(told.story(), {});
  for (const char* raw : {"<script", "a<b>", "<u>"}) EXPECT_FALSE(holds(page, raw)) << raw;
}

TEST(LocateHtml, MarksStreaksThatWereThereBefore) {
  Findings findings = sample::findings();
  EXPECT_FALSE(holds(locate_html(sample::layout(), findings, {}), "from before"));
  findings.streaks[0].was_before = true;
  const std::string page = locate_html(sample::layout(), findings, {});
  EXPECT_TRUE(holds(page, ">2 jet, from before</text>"));
  EXPECT_TRUE(holds(page, "Dotted outline: the scans from before show it too"));
  EXPECT_TRUE(holds(page, "There before: no target rests on it."));
}

}  // namespace
}  // namespace scrapetrace::report
