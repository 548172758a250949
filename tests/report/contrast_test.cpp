// Contrast as WCAG 2.1 defines it (W3C Recommendation, 5 June 2018): relative luminance and contrast ratio in
// its glossary; 4.5 : 1 for text (1.4.3), 3 : 1 for what a drawing says without words (1.4.11).
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <regex>
#include <set>

#include "report/accept_html.h"
#include "report/html_style.h"
#include "report/picture_style.h"
#include "report/picture_svg.h"
#include "report/profile_axes.h"
#include "report/sample.h"
#include "report/triage_report.h"

namespace scrapetrace::report {
namespace {

constexpr double kText = 4.5;
constexpr double kGraphics = 3.0;

double luminance(std::string hex) {
  hex.erase(0, 1);
  if (hex.size() == 3) hex = {hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]};
  const auto channel = [&](std::size_t i) {
    const double c = std::stoi(hex.substr(2 * i, 2), nullptr, 16) / 255.0;
    return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * channel(0) + 0.7152 * channel(1) + 0.0722 * channel(2);
}

double contrast(const std::string& a, const std::string& b) {
  const auto [dark, light] = std::minmax({luminance(a), luminance(b)});
  return (light + 0.05) / (dark + 0.05);
}

// The values of WCAG's own examples: black on white, and #777 on white (Understanding 1.4.3: 4.48, just
// short).
TEST(Contrast, IsThatOfTheStandard) {
  EXPECT_NEAR(contrast("#000", "#fff"), 21, 1e-9);
  EXPECT_NEAR(contrast("#777777", "#ffffff"), 4.48, 0.005);
}

std::map<std::string, std::string> colours_in(const std::string& rules) {
  std::map<std::string, std::string> out;
  const std::regex one("--([a-z]+):(#[0-9a-f]+)");
  for (std::sregex_iterator it(rules.begin(), rules.end(), one); it != std::sregex_iterator(); ++it)
    out[(*it)[1]] = (*it)[2];
  return out;
}

TEST(Contrast, OfWordsOnPagesByDayByNightAndInPrint) {
  const std::string style(common_style());
  const std::regex root(":root\\{([^}]*)\\}");
  std::map<std::string, std::string> colours;
  int schemes = 0;
  for (std::sregex_iterator it(style.begin(), style.end(), root); it != std::sregex_iterator(); ++it) {
    for (const auto& [name, value] : colours_in((*it)[1])) colours[name] = value;
    for (const char* words : {"ink", "soft", "link", "warn"})
      for (const char* ground : {"ground", "paper"})
        EXPECT_GE(contrast(colours[words], colours[ground]), kText)
            << words << " on " << ground << ' ' << schemes;
    for (const char* words : {"ink", "warn"})
      EXPECT_GE(contrast(colours[words], colours["warnback"]), kText) << words << ' ' << schemes;
    // Frames that light up.
    EXPECT_GE(contrast(colours["lit"], colours["paper"]), kGraphics) << schemes;
    ++schemes;
  }
  EXPECT_EQ(schemes, 3);
}

// Every colour that a drawing letters in, on every ground that it lays under words.
TEST(Contrast, OfWordsInDrawings) {
  HtmlReport extras;
  Profile profile;
  profile.ink = "cyan";
  for (int i = 0; i < 60; ++i) {
    profile.x_drum_mm.push_back(158 + 0.1 * i);
    profile.clean.push_back(0.1);
    profile.measured.push_back(0.1);
  }
  extras.streaks = {ShownStreak{}, ShownStreak{{profile}, std::nullopt, 0}};
  Findings findings = sample::findings();
  findings.streaks[0].was_before = true;
  const std::string page = locate_html(sample::layout(), findings, extras);
  const std::regex lettering("<text[^>]*fill=\"(#[0-9a-f]{6})\"");
  std::set<std::string> colours;
  for (std::sregex_iterator it(page.begin(), page.end(), lettering); it != std::sregex_iterator(); ++it)
    colours.insert((*it)[1]);
  EXPECT_GE(colours.size(), 3U);
  for (const std::string& colour : colours)
    for (const auto ground : {picture::kBackground, picture::kPaper, std::string_view("#eef1f3")})
      EXPECT_GE(contrast(colour, std::string(ground)), kText) << colour << " on " << ground;
  EXPECT_GE(contrast(std::string(picture::kInk), std::string(picture::kHead)), kText);
}

TEST(Contrast, OfLinesThatCarryMeaning) {
  for (const auto line : {picture::kInk, picture::kMuted, picture::kFirst})
    for (const auto ground : {picture::kBackground, picture::kPaper})
      EXPECT_GE(contrast(std::string(line), std::string(ground)), kGraphics) << line;
  for (const auto line : {profile_axes::kMeasured, profile_axes::kModel, profile_axes::kGrey})
    for (const char* ground : {"#ffffff", "#eef1f3"})
      EXPECT_GE(contrast(std::string(line), ground), kGraphics) << line;
}

// Without colour the same is said: streaks by their outline's dashes and words, targets by number and
// filling.
TEST(Colour, IsNeverTheOnlySign) {
  Findings findings = sample::findings();
  findings.streaks.push_back(sample::other_streak(3, 200, Cause::drum_scratch));
  findings.streaks.back().was_before = true;
  const std::string svg = picture_svg(sample::layout(), findings, {});
  for (const char* sign : {"stroke-dasharray=\"7,4\"", "stroke-dasharray=\"2,4\"", ">1 residue<", ">2 jet<",
                           ">3 drum, from before<", ">#1 head 3 left, faceplate 82 %<"})
    EXPECT_NE(svg.find(sign), std::string::npos) << sign;
}

TEST(Overview, GroupsCasesAndCountsThem) {
  const std::string head = triage_head({{0, 3, 0, 1, 2, 0, 0}, 1, 2}, {"1.0", {}}, "A<b>");
  EXPECT_NE(head.find("<title>6 cases, worst and surest first</title>"), std::string::npos);
  EXPECT_NE(head.find("Content-Security-Policy"), std::string::npos);
  EXPECT_NE(head.find("<a href=\"#group-4\">Could not look: to be scanned again (2)</a>"), std::string::npos);
  EXPECT_EQ(head.find("#group-2"), std::string::npos);
  EXPECT_NE(
      head.find(
          "6 in: 4 cases judged, 2 not: 2 whose scans could not be analysed. Left out of cases that have "
          "scans: 2 copies, 1 input that is no scan."),
      std::string::npos);
  EXPECT_NE(head.find("A&lt;b&gt;"), std::string::npos);
  EXPECT_NE(triage_group(TriageGroup::could_not_look).find("id=\"group-4\""), std::string::npos);
  EXPECT_NE(triage_tail().find("No metal on a faceplate"), std::string::npos);
}

}  // namespace
}  // namespace scrapetrace::report
