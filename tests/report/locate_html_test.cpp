#include "report/locate_html.h"

#include <gtest/gtest.h>

#include "report/glossary.h"
#include "report/sample.h"

namespace scrapetrace::report {
namespace {

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

HtmlReport extras() {
  HtmlReport out;
  Profile profile;
  profile.ink = "cyan";
  for (int i = 0; i < 60; ++i) {
    profile.x_drum_mm.push_back(158 + 0.1 * i);
    profile.clean.push_back(0.1);
    profile.measured.push_back(i > 20 && i < 40 ? 0.2 : 0.1);
  }
  profile.fitted = profile.measured;
  out.streaks = {ShownStreak{}, ShownStreak{{profile}, std::nullopt, 0}};
  out.provenance.files = {{"scan 1", "<i>.tif", "00ff"}};
  return out;
}

TEST(LocateHtml, OpensWithTheAnswerAndHoldsEverySection) {
  const std::string page = locate_html(sample::layout(), sample::findings(), extras());
  EXPECT_TRUE(holds(page, "<h1>Clean head 3, left side, faceplate first (82\xC2\xA0%).</h1>"));
  for (const char* id :
       {"cautions", "steps", "picture", "targets", "streaks", "unchecked", "scans", "words", "repeat"})
    EXPECT_TRUE(holds(page, "<section id=\"" + std::string(id) + '"')) << id;
  EXPECT_TRUE(holds(page, ">NEEDS CLEANING</p>"));
  EXPECT_TRUE(holds(page, "cyan: ink there"));
  EXPECT_TRUE(holds(page, "head 2, right side, faceplate (11 %)"));
}

TEST(LocateHtml, LinksStreaksTargetsAndHeadsByClass) {
  const std::string page = locate_html(sample::layout(), sample::findings(), extras());
  EXPECT_TRUE(holds(page, "<a class=\"hot s1\" href=\"#streak-1\""));
  EXPECT_TRUE(holds(page, "<a class=\"hot s1\" href=\"#target-1\""));
  EXPECT_TRUE(holds(page, "<g class=\"hot head s1\">"));
  EXPECT_TRUE(holds(page, "id=\"streak-1\"") && holds(page, "id=\"target-1\""));
}

TEST(LocateHtml, EscapesNamesEverywhere) {
  Layout layout = sample::layout();
  Findings findings = sample::findings();
  layout.name = "<script>alert(1)</script>";
  layout.carriages[0].name = "\"><img src=x>";
  findings.scans[0].file = "a&b<c>.tif";
  findings.targets[0].surface = "<u>";
  findings.targets[0].rivals[0].tell_apart = "<marquee>";
  const std::string page = locate_html(layout, findings, extras());
  for (const char* raw : {"<script", "<img src", "b<c>", "<u>", "<marquee>", "<i>"})
    EXPECT_FALSE(holds(page, raw)) << raw;
}

TEST(LocateHtml, NeverTellsToScrapeAmongTheJets) {
  Findings findings = sample::findings();
  findings.targets[0].over_jets = true;
  const std::string page = locate_html(sample::layout(), findings, extras());
  EXPECT_TRUE(holds(page, "Among the jets: not to be scraped, ever."));
  EXPECT_FALSE(holds(page.substr(0, page.find("Still there: reach")), "Take it off"));
}

TEST(LocateHtml, SaysCouldNotLookWithoutCautionsForNobodyGoesToAMachine) {
  Findings findings;
  findings.scans.resize(1);
  const std::string page = locate_html(sample::layout(), findings, {});
  EXPECT_TRUE(holds(page, "COULD NOT LOOK"));
  EXPECT_FALSE(holds(page, "<section id=\"cautions\""));
}

TEST(Glossary, IsInOrderAndFindsOtherNames) {
  for (std::size_t i = 1; i < glossary().size(); ++i) EXPECT_LT(glossary()[i - 1].name, glossary()[i].name);
  EXPECT_EQ(find_term("PRINTHEAD"), find_term("head"));
  EXPECT_EQ(find_term("nonsense"), nullptr);
}

}  // namespace
}  // namespace scrapetrace::report
