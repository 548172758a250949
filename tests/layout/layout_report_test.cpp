// What the text and the picture of a layout say, with the description that src/layout makes.

#include <gtest/gtest.h>

#include <set>

#include "files.h"
#include "report/layout_svg.h"
#include "scrapetrace/layout_description.h"
#include "scrapetrace/report.h"

namespace scrapetrace {
namespace {

std::string text_for(const Layout& layout) {
  return report::layout_text(layout, layout::describe_layout(layout));
}

std::string svg_for(const Layout& layout) {
  return report::layout_svg(layout, layout::describe_layout(layout), "scrapetrace 0; SHA-256 of layout: 0.");
}

bool contains(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> out;
  for (std::string line; std::getline(in, line);) out.push_back(line);
  return out;
}

// Runs of blanks made one, so that a table's row reads the same whatever its columns' widths.
std::string squeezed(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c != ' ' || out.empty() || out.back() != ' ') out += c;
  }
  return out;
}

double attribute(const std::string& element, const std::string& name) {
  const std::string key = " " + name + "=\"";
  return std::stod(element.substr(element.find(key) + key.size()));
}

TEST(LayoutText, SaysWhatTheLayoutAmountsTo) {
  const std::string text = text_for(test::good_layout("hobdrel"));
  EXPECT_TRUE(contains(text, "4946 columns, 107 to 5052")) << text;
  EXPECT_TRUE(contains(squeezed(text), "1 | 2 1341 to 1350 1345 85.47 239.53")) << text;
  EXPECT_TRUE(contains(squeezed(text), "high 35.0 0.00 to 1.71")) << text;
  EXPECT_TRUE(contains(text, "not when 1 down, 2 up")) << text;
}

TEST(LayoutText, SaysWhichPlacesThePrintCannotTellApart) {
  EXPECT_TRUE(contains(text_for(test::good_layout("tavvick")), "no: same carriage"));
  EXPECT_TRUE(contains(text_for(test::good_layout("quennip")), "yes: opposite travel"));
  EXPECT_FALSE(contains(text_for(test::good_layout("quennip")), "not when"));
}

TEST(LayoutText, FitsATerminal) {
  for (const std::string machine : {"hobdrel", "quennip", "tavvick"}) {
    for (const auto& line : lines_of(text_for(test::good_layout(machine))))
      EXPECT_LE(line.size(), 100U) << line;
  }
}

// Boxes of heads: the mean width of a box is the mean span of its jets at one scale for all.
TEST(LayoutSvg, HeadsAreToScale) {
  for (const std::string machine : {"hobdrel", "quennip", "tavvick"}) {
    Layout layout = test::good_layout(machine);
    layout.heads.back().jets -= 20;
    const std::string svg = svg_for(layout);
    std::set<std::pair<double, double>> boxes;
    for (const auto& line : lines_of(svg)) {
      if (!contains(line, "height=\"40\" fill=\"#dfe6ea\"")) continue;
      boxes.insert({attribute(line, "x"), attribute(line, "width")});
    }
    ASSERT_EQ(boxes.size(), layout.heads.size());
    std::size_t h = 0;
    const double px_per_jet = boxes.begin()->second / (layout.heads[0].jets - 1);
    for (const auto& [x, width] : boxes) {
      EXPECT_NEAR(width, px_per_jet * (layout.heads[h].jets - 1), 0.02 * px_per_jet) << machine << " " << h;
      const double px_per_column = px_per_jet / layout.interleave.jet_pitch_px;
      const double offset_px =
          (layout.carriages[layout.heads[h].carriage].offset_mm - layout.carriages[0].offset_mm) /
          layout.px_mm() * px_per_column;
      EXPECT_NEAR(x - boxes.begin()->first,
                  (layout.heads[h].first_jet_px - layout.heads[0].first_jet_px) * px_per_column + offset_px,
                  0.5)
          << machine << " " << h;
      ++h;
    }
  }
}

TEST(LayoutSvg, StencilledSidesFollowTheMounting) {
  const std::string svg = svg_for(test::good_layout("quennip"));
  // On each box the word at its drum-left end comes with anchor "start".
  std::size_t left_at_left = 0;
  std::size_t right_at_left = 0;
  for (const auto& line : lines_of(svg)) {
    if (!contains(line, "text-anchor=\"start\"")) continue;
    left_at_left += contains(line, ">left</text>") ? 1 : 0;
    right_at_left += contains(line, ">right</text>") ? 1 : 0;
  }
  EXPECT_EQ(left_at_left, 3U);   // heads A, C, E
  EXPECT_EQ(right_at_left, 2U);  // heads B, D, turned round
}

TEST(LayoutSvg, NamesAreEscaped) {
  Layout layout = test::good_layout("hobdrel");
  layout.name = "<script>&\"\x01";
  layout.heads[0].name = "<b>";
  layout.carriages[0].name = "a & b";
  layout.zones[0].surface = "</svg>";
  const std::string svg = svg_for(layout);
  EXPECT_FALSE(contains(svg, "<script"));
  EXPECT_FALSE(contains(svg, "<b>"));
  EXPECT_FALSE(contains(svg, "a & b"));
  EXPECT_FALSE(contains(svg, "\x01"));
  EXPECT_EQ(svg.find("</svg>"), svg.size() - 7);
}

TEST(LayoutSvg, SameLayoutSameBytes) {
  const Layout layout = test::good_layout("tavvick");
  EXPECT_EQ(svg_for(layout), svg_for(layout));
}

}  // namespace
}  // namespace scrapetrace
