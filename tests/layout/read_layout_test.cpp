// What a good layout or chart becomes, and how the readers bear hostile files.

#include <gtest/gtest.h>

#include "files.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace {
namespace {

using layout::read_chart;
using layout::read_layout;

TEST(ReadLayout, EveryFieldArrives) {
  const Layout l = test::good_layout("tavvick");
  EXPECT_EQ(l.name, "Tavvick 300");
  EXPECT_EQ(l.drum.width_mm, 230);
  EXPECT_EQ(l.drum.circumference_mm, 325);
  EXPECT_EQ(l.raster.cross_process_dpi, 300);
  EXPECT_EQ(l.raster.process_dpi, 300);
  EXPECT_EQ(l.interleave.jet_pitch_px, 8);
  EXPECT_EQ(l.interleave.shift_px, (std::vector<int>{0, 5, 10, 15, 20, 25, 30, 35}));
  EXPECT_TRUE(l.transfer.mirrored);
  EXPECT_EQ(l.transfer.scale_cross, 1.001);
  EXPECT_EQ(l.transfer.sheet_left_on_drum_mm, 220);
  ASSERT_EQ(l.inks.size(), 4U);
  EXPECT_EQ(l.inks[1].name, "magenta");
  EXPECT_EQ(l.inks[1].solid_density_rgb, (Rgb{0.14, 1.05, 0.38}));
  ASSERT_EQ(l.carriages.size(), 3U);
  EXPECT_EQ(l.carriages[2].name, "lower");
  EXPECT_EQ(l.carriages[2].angle_deg, 250);
  EXPECT_EQ(l.carriages[2].offset_mm, -0.06);
  EXPECT_EQ(l.carriages[2].travel, -1);
  ASSERT_EQ(l.heads.size(), 6U);
  EXPECT_EQ(l.heads[4].name, "5");
  EXPECT_EQ(l.heads[4].carriage, 1U);
  EXPECT_EQ(l.heads[4].first_jet_px, 1754);
  EXPECT_EQ(l.heads[4].jets, 57);
  EXPECT_TRUE(l.heads[4].rotated);
  ASSERT_EQ(l.zones.size(), 4U);
  EXPECT_EQ(l.zones[3].surface, "insulation");
  EXPECT_EQ(l.zones[3].side, Side::right);
  EXPECT_EQ(l.zones[3].from_mm, 5);
  EXPECT_EQ(l.zones[3].to_mm, 12);
  EXPECT_EQ(l.zones[3].prior, 0.15);
  EXPECT_EQ(l.zones[3].effort_min, 6);
}

TEST(ReadLayout, OptionalKeysHaveTheirDefaults) {
  std::string text = test::text_of(test::source_dir() / "geometry" / "hobdrel.toml");
  for (const std::string key : {"travel = 1\n", "effort_min = 4.0\n"}) {
    for (auto at = text.find(key); at != std::string::npos; at = text.find(key)) text.erase(at, key.size());
  }
  const auto l = read_layout(text, "f");
  ASSERT_TRUE(l.ok()) << test::shown(l.problems());
  EXPECT_EQ(l->carriages[0].travel, 1);
  EXPECT_EQ(l->carriages[0].offset_mm, 0);
  EXPECT_FALSE(l->heads[0].rotated);
  EXPECT_EQ(l->zones[0].effort_min, 1);
  EXPECT_EQ(l->tolerance.place_mm, 0.05);
  EXPECT_EQ(l->tolerance.scale, 0.001);
}

TEST(ReadLayout, ToleranceArrives) {
  const std::string text = test::text_of(test::source_dir() / "geometry" / "hobdrel.toml");
  const auto both = read_layout(text + "\n[tolerance]\nplace_mm = 0.02\nscale = 0.0\n", "f");
  ASSERT_TRUE(both.ok()) << test::shown(both.problems());
  EXPECT_EQ(both->tolerance.place_mm, 0.02);
  EXPECT_EQ(both->tolerance.scale, 0);
  const auto one = read_layout(text + "\n[tolerance]\nscale = 0.002\n", "f");
  ASSERT_TRUE(one.ok()) << test::shown(one.problems());
  EXPECT_EQ(one->tolerance.place_mm, 0.05);
  EXPECT_EQ(one->tolerance.scale, 0.002);
}

TEST(ReadLayout, LineEndingsAndByteOrderMarkDoNotMatter) {
  const std::string text = test::text_of(test::source_dir() / "geometry" / "hobdrel.toml");
  std::string windows = "\xEF\xBB\xBF";
  for (const char c : text) windows += c == '\n' ? std::string("\r\n") : std::string(1, c);
  const auto l = read_layout(windows, "f");
  ASSERT_TRUE(l.ok()) << test::shown(l.problems());
  windows.insert(windows.find("\njets = 128") + 8, "-");
  const auto bad = read_layout(windows, "f");
  ASSERT_FALSE(bad.ok());
  const auto line =
      std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(text.find("jets = 128")), '\n') + 1;
  EXPECT_EQ(bad.problems()[0].line, line);
  EXPECT_EQ(bad.problems()[0].column, 8);
}

TEST(ReadLayout, SyntaxErrorsAreCapped) {
  std::string text = "schema = \"scrapetrace.layout/1\"\n";
  for (int i = 0; i < 100; ++i) text += "x" + std::to_string(i) + " = = 1\ny" + std::to_string(i) + " = 1\n";
  const auto l = read_layout(text, "f");
  ASSERT_FALSE(l.ok());
  EXPECT_EQ(l.problems().size(), 20U);
  EXPECT_EQ(l.problems()[19].line, 2 + 19 * 2);
}

TEST(ReadLayout, ProblemsAreCappedAndTheRestCounted) {
  std::string text = "schema = \"scrapetrace.layout/1\"\n";
  for (int i = 0; i < 500; ++i) text += "x" + std::to_string(i) + " = 1\n";
  const auto l = read_layout(text, "f");
  ASSERT_FALSE(l.ok());
  ASSERT_EQ(l.problems().size(), 51U);
  // 9 problems for what is missing and 500 for what is not known, 50 of them shown.
  EXPECT_EQ(l.problems()[50].what, "459 more problems are not shown; mend these first.");
}

TEST(ReadLayout, HugeFilesAreRefusedUnread) {
  const auto l = read_layout(std::string(300 * 1024, '#'), "f");
  ASSERT_FALSE(l.ok());
  ASSERT_EQ(l.problems().size(), 1U);
  EXPECT_NE(l.problems()[0].what.find("307200 bytes; allowed are at most 262144"), std::string::npos);
}

// The deepest nesting that passes the checks on lines and on nested values must not exhaust the stack.
TEST(ReadLayout, DeepNestingIsBorne) {
  std::string dots;
  for (int i = 0; i < 31; ++i) dots += "a.";
  std::string text = "schema = \"scrapetrace.layout/1\"\nx = ";
  for (int i = 0; i < 120; ++i) text += "{" + dots + "a = [\n";
  text += "1";
  for (int i = 0; i < 120; ++i) text += "]}";
  const auto l = read_layout(text + "\n", "f");
  ASSERT_FALSE(l.ok());
  EXPECT_NE(test::shown(l.problems()).find("knows no key \"x\""), std::string::npos)
      << test::shown(l.problems());
}

// Every prefix of a good file is either good or refused with a place inside it.
TEST(ReadLayout, TruncatedFilesAreRefusedWithAPlace) {
  const std::string text = test::text_of(test::source_dir() / "geometry" / "hobdrel.toml");
  for (std::size_t length = 0; length < text.size(); length += 37) {
    const auto l = read_layout(std::string_view(text).substr(0, length), "f");
    if (l.ok()) continue;
    const auto lines = std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(length), '\n') + 1;
    for (const auto& problem : l.problems()) {
      EXPECT_GE(problem.line, 1) << length;
      EXPECT_LE(problem.line, lines) << length << problem.what;
      EXPECT_GE(problem.column, 1) << length;
    }
  }
}

TEST(ReadChart, EveryFieldArrives) {
  const auto chart = read_chart(
      "schema = \"scrapetrace.chart/1\"\nname = \"n\"\nsheet_mm = [100, 200.5]\n"
      "[[patch]]\ninks = [\"cyan\", \"red\"]\nx_mm = [0, 100]\ny_mm = [10, 20.5]\ncoverage = 0.5\n"
      "[[mark]]\nkind = \"tag\"\nid = 3\ncenter_mm = [50, 100]\nsize_mm = 8\n",
      "f");
  ASSERT_TRUE(chart.ok()) << test::shown(chart.problems());
  EXPECT_EQ(chart->name, "n");
  EXPECT_EQ(chart->sheet_mm, (std::array<double, 2>{100, 200.5}));
  ASSERT_EQ(chart->patches.size(), 1U);
  EXPECT_EQ(chart->patches[0].inks, (std::vector<std::string>{"cyan", "red"}));
  EXPECT_EQ(chart->patches[0].x_mm, (std::array<double, 2>{0, 100}));
  EXPECT_EQ(chart->patches[0].y_mm, (std::array<double, 2>{10, 20.5}));
  EXPECT_EQ(chart->patches[0].coverage, 0.5);
  ASSERT_EQ(chart->marks.size(), 1U);
  EXPECT_EQ(chart->marks[0].kind, "tag");
  EXPECT_EQ(chart->marks[0].id, 3);
  EXPECT_EQ(chart->marks[0].center_mm, (std::array<double, 2>{50, 100}));
  EXPECT_EQ(chart->marks[0].size_mm, 8);
}

TEST(ReadChart, PatchesMayTouchEachOtherAndTheEdge) {
  const auto chart = read_chart(
      "schema = \"scrapetrace.chart/1\"\nname = \"n\"\nsheet_mm = [100, 200]\n"
      "[[patch]]\ninks = [\"cyan\"]\nx_mm = [0, 100]\ny_mm = [0, 20]\ncoverage = 1\n"
      "[[patch]]\ninks = [\"cyan\"]\nx_mm = [0, 100]\ny_mm = [20, 200]\ncoverage = 1\n",
      "f");
  EXPECT_TRUE(chart.ok()) << test::shown(chart.problems());
}

}  // namespace
}  // namespace scrapetrace
