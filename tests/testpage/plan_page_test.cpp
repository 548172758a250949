// What a test page holds: every ink from end to end, tags that can be read, a chart that the reader takes.

#include <algorithm>
#include <set>

#include "layout/write_chart.h"
#include "tags/tag_pattern.h"
#include "testpage/machines.h"
#include "testpage/page_reach.h"
#include "testpage/sheet_size.h"

namespace scrapetrace::testpage {
namespace {

using testing::kMachines;
using testing::Machine;
using testing::page_of;

class PlanPage : public ::testing::TestWithParam<Machine> {};

bool apart(const std::array<double, 2>& a, const std::array<double, 2>& b) {
  return a[1] <= b[0] || b[1] <= a[0];
}

// Every place between the page's ends lies under at least two inks, and under every ink but at the dark
// block.
TEST_P(PlanPage, ShowsEveryPlaceInEveryInk) {
  const auto page = page_of(GetParam());
  for (double x = page.plan.print_x_mm[0] + 0.1; x < page.plan.print_x_mm[1]; x += 0.5) {
    std::set<std::string> inks;
    std::set<std::string> alone;
    for (const Patch& patch : page.plan.chart.patches) {
      if (x <= patch.x_mm[0] || x >= patch.x_mm[1]) continue;
      inks.insert(patch.inks.begin(), patch.inks.end());
      if (patch.inks.size() == 1) alone.insert(patch.inks[0]);
    }
    EXPECT_EQ(inks.size(), page.layout.inks.size()) << x;
    EXPECT_EQ(alone.size(), page.layout.inks.size()) << x;
  }
}

// White of two cells lies around each tag; nothing lies outside the sheet.
TEST_P(PlanPage, GivesTagsRoom) {
  const auto page = page_of(GetParam());
  const Chart& chart = page.plan.chart;
  ASSERT_GE(chart.marks.size(), 8U);
  std::set<int> ids;
  for (const Mark& mark : chart.marks) {
    EXPECT_TRUE(tags::pattern_of(mark.id)) << mark.id;
    EXPECT_TRUE(ids.insert(mark.id).second) << mark.id;
    const double reach = 0.75 * mark.size_mm - 0.011;  // lengths are rounded to hundredths
    const std::array<double, 2> x = {mark.center_mm[0] - reach, mark.center_mm[0] + reach};
    const std::array<double, 2> y = {mark.center_mm[1] - reach, mark.center_mm[1] + reach};
    for (const Patch& patch : chart.patches)
      EXPECT_TRUE(apart(x, patch.x_mm) || apart(y, patch.y_mm)) << mark.id;
    for (std::size_t k = 0; k < 2; ++k) {
      EXPECT_GE(mark.center_mm[k] - mark.size_mm / 2, 0);
      EXPECT_LE(mark.center_mm[k] + mark.size_mm / 2, chart.sheet_mm[k]);
    }
  }
  // In all four corners.
  for (const double u : {0.0, 1.0}) {
    for (const double v : {0.0, 1.0}) {
      EXPECT_TRUE(std::any_of(chart.marks.begin(), chart.marks.end(),
                              [&](const Mark& mark) {
                                return std::abs(mark.center_mm[0] - u * chart.sheet_mm[0]) < 20 &&
                                       std::abs(mark.center_mm[1] - v * chart.sheet_mm[1]) < 20;
                              }))
          << u << v;
    }
  }
}

TEST_P(PlanPage, WritesAChartThatIsReadBackAsItIs) {
  const auto page = page_of(GetParam());
  const Chart& chart = page.plan.chart;
  const auto text = layout::write_chart(chart, "two\nlines");
  const auto read = layout::read_chart(text, "page.toml", &page.layout);
  ASSERT_TRUE(read) << to_string(read.problems()[0]);
  EXPECT_EQ(read->name, chart.name);
  EXPECT_EQ(read->sheet_mm, chart.sheet_mm);
  ASSERT_EQ(read->patches.size(), chart.patches.size());
  for (std::size_t i = 0; i < chart.patches.size(); ++i) {
    EXPECT_EQ(read->patches[i].inks, chart.patches[i].inks);
    for (std::size_t k = 0; k < 2; ++k) {
      EXPECT_DOUBLE_EQ(read->patches[i].x_mm[k], chart.patches[i].x_mm[k]);
      EXPECT_DOUBLE_EQ(read->patches[i].y_mm[k], chart.patches[i].y_mm[k]);
    }
  }
  ASSERT_EQ(read->marks.size(), chart.marks.size());
  for (std::size_t i = 0; i < chart.marks.size(); ++i) {
    EXPECT_EQ(read->marks[i].id, chart.marks[i].id);
    EXPECT_DOUBLE_EQ(read->marks[i].center_mm[0], chart.marks[i].center_mm[0]);
    EXPECT_DOUBLE_EQ(read->marks[i].center_mm[1], chart.marks[i].center_mm[1]);
    EXPECT_DOUBLE_EQ(read->marks[i].size_mm, chart.marks[i].size_mm);
  }
}

// Only places that reach beyond the page's ends are said to stay unseen.
TEST_P(PlanPage, KnowsWhatItCannotShow) {
  const auto page = page_of(GetParam());
  const auto reach = reach_of_page(page.layout, page.plan.print_x_mm);
  ASSERT_EQ(reach.size(), page.layout.heads.size() * page.layout.zones.size());
  int unseen = 0;
  for (const ZoneReach& one : reach) {
    EXPECT_GE(one.fraction, 0);
    EXPECT_LE(one.fraction, 1);
    unseen += one.fraction < 0.995 ? 1 : 0;
    const bool inner = one.head > 0 && one.head + 1 < page.layout.heads.size();
    if (!inner) continue;
    EXPECT_EQ(one.fraction, 1) << "head " << one.head << " zone " << one.zone;
  }
  EXPECT_GT(unseen, 0);
}

INSTANTIATE_TEST_SUITE_P(Machines, PlanPage, ::testing::ValuesIn(kMachines));

TEST(PlanPageRefuses, SheetsWithoutRoom) {
  const auto machine = testing::layout_of(kMachines[0]);
  const auto description = layout::describe_layout(machine);
  const auto refused = [&](PageOptions options, const char* words) {
    const auto plan = plan_page(machine, description, options);
    ASSERT_FALSE(plan);
    EXPECT_NE(plan.problems()[0].what.find(words), std::string::npos) << plan.problems()[0].what;
  };
  refused({{320, 90}, 5, 8}, "longer sheet");
  refused({{320, 450}, 40, 8}, "margin");
  refused({{320, 450}, 5, 3}, "tags");
  refused({{60, 450}, 5, 8}, "80 to 2000");
}

TEST(WriteChart, QuotesNames) {
  Chart chart;
  chart.name = "a \"page\" \\ of mine";
  chart.sheet_mm = {100, 120};
  chart.patches = {{{"deep \"blue\""}, {10, 90}, {10, 50.25}, 0.5}};
  const auto read = layout::read_chart(layout::write_chart(chart, ""), "chart.toml");
  ASSERT_TRUE(read) << to_string(read.problems()[0]);
  EXPECT_EQ(read->name, chart.name);
  EXPECT_EQ(read->patches[0].inks, chart.patches[0].inks);
  EXPECT_DOUBLE_EQ(read->patches[0].coverage, 0.5);
}

// ISO 216 and ISO 217 sizes from the standards' tables, ANSI sizes 8.5 x 11 and 11 x 17 inches.
TEST(SheetSize, KnowsNamesAndMeasures) {
  const auto size = [](const char* words) { return sheet_size(words).value_or(std::array{0.0, 0.0}); };
  EXPECT_EQ(size("A4"), (std::array{210.0, 297.0}));
  EXPECT_EQ(size("sra3"), (std::array{320.0, 450.0}));
  EXPECT_EQ(size("RA3"), (std::array{305.0, 430.0}));
  EXPECT_NEAR(size("letter")[0], 8.5 * 25.4, 1e-9);
  EXPECT_NEAR(size("ledger")[1], 17 * 25.4, 1e-9);
  EXPECT_EQ(size("100x250.5"), (std::array{100.0, 250.5}));
  for (const char* wrong : {"", "a9", "100", "x200", "100x", "100x2oo", "-x5", "1e3x200"})
    EXPECT_FALSE(sheet_size(wrong)) << wrong;
}

}  // namespace
}  // namespace scrapetrace::testpage
