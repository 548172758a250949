// The examples of docs/formats.md are files that the readers take, and show every default as it is.

#include <gtest/gtest.h>

#include <tuple>

#include "files.h"
#include "geometry/column_map.h"
#include "geometry/contact.h"
#include "layout/read_scenario.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace {
namespace {

// The fenced TOML blocks of the page.
std::vector<std::string> examples() {
  const std::string page = test::text_of(test::source_dir() / "docs" / "formats.md");
  const std::string open = "```toml\n";
  std::vector<std::string> out;
  for (auto at = page.find(open); at != std::string::npos; at = page.find(open, at + 1)) {
    const auto start = at + open.size();
    out.push_back(page.substr(start, page.find("```", start) - start));
  }
  return out;
}

std::string example(const std::string& kind) {
  for (const auto& text : examples()) {
    if (text.starts_with("schema = \"scrapetrace." + kind + "/1\"")) return text;
  }
  throw std::runtime_error("docs/formats.md shows no " + kind);
}

Layout example_layout() {
  const auto layout = layout::read_layout(example("layout"), "docs/formats.md");
  if (!layout) throw std::runtime_error(test::shown(layout.problems()));
  return *layout;
}

TEST(DocumentedFormats, LayoutIsGood) {
  EXPECT_EQ(example_layout().heads.size(), 2U);
}

TEST(DocumentedFormats, ChartIsGood) {
  const Layout machine = test::good_layout("hobdrel");
  const auto chart = layout::read_chart(example("chart"), "docs/formats.md", &machine);
  ASSERT_TRUE(chart.ok()) << test::shown(chart.problems());
  EXPECT_EQ(chart->patches.size(), 3U);
}

TEST(DocumentedFormats, LimitsAreGoodAndTheirOptionsAreTheDefaults) {
  const auto limits = layout::read_limits(example("limits"), "docs/formats.md");
  ASSERT_TRUE(limits.ok()) << test::shown(limits.problems());
  const Limits d;
  EXPECT_EQ(std::tie(limits->guard, limits->seen_from_mm, limits->viewing_distance_mm,
                     limits->luminance_cd_m2, limits->dead_from_loss),
            std::tie(d.guard, d.seen_from_mm, d.viewing_distance_mm, d.luminance_cd_m2, d.dead_from_loss));
  EXPECT_EQ(limits->number_max, 1);
  EXPECT_EQ(limits->sides_max, 2);
}

TEST(DocumentedFormats, ScenarioIsGoodAndItsOptionsAreTheDefaults) {
  const auto scenario = layout::read_scenario(example("scenario"), "docs/formats.md", example_layout());
  ASSERT_TRUE(scenario.ok()) << test::shown(scenario.problems());
  EXPECT_EQ(scenario->causes.residues.size(), 2U);
  const PrintOptions& print = scenario->print;
  const PrintOptions p;
  EXPECT_EQ(std::tie(print.jet_variation, print.machine_seed, print.mottle, print.mottle_mm, print.grain,
                     print.screen_lpi, print.screen_deg, print.paper_white, print.stretch_x, print.stretch_y,
                     print.shift_x_mm, print.shift_y_mm),
            std::tie(p.jet_variation, p.machine_seed, p.mottle, p.mottle_mm, p.grain, p.screen_lpi,
                     p.screen_deg, p.paper_white, p.stretch_x, p.stretch_y, p.shift_x_mm, p.shift_y_mm));
  const ScanOptions& scan = scenario->scan;
  const ScanOptions s;
  EXPECT_EQ(std::tie(scan.dpi, scan.blur_px, scan.noise, scan.skew_deg, scan.turn_deg, scan.face_mirrored,
                     scan.margin_mm, scan.bed, scan.grey, scan.bits, scan.scan_seed, scan.threads),
            std::tie(s.dpi, s.blur_px, s.noise, s.skew_deg, s.turn_deg, s.face_mirrored, s.margin_mm, s.bed,
                     s.grey, s.bits, s.scan_seed, s.threads));
}

// The worked examples of docs/coordinates.md.
TEST(DocumentedModel, PassesAndContactsAreAsInTheTables) {
  Layout l = example_layout();
  l.heads = {{"one", 0, 80, 60, false}};
  l.drum.width_mm = 60;
  const geometry::ColumnMap map(l);
  const std::vector<int> passes{0, 3, 2, 1, 0, 3, 2, 1, 0, 3, 2, 1, 0};
  const std::vector<int> upstream{0, 0, 0, 0, 1, 0, 0, 1, 1, 0, 1, 1, 1};
  const std::vector<int> downstream{1, 0, 0, 1, 1, 0, 1, 1, 1, 1, 1, 1, 1};
  const auto up = geometry::count_touches(l, map, {0, false, 100 * l.px_mm(), 4 * l.px_mm()});
  const auto down = geometry::count_touches(l, map, {0, true, 100 * l.px_mm(), 4 * l.px_mm()});
  for (std::size_t i = 0; i < passes.size(); ++i) {
    const int column = 100 + static_cast<int>(i);
    EXPECT_EQ(map.owner(column).pass, passes[i]) << column;
    EXPECT_EQ(up.at(column), upstream[i]) << column;
    EXPECT_EQ(down.at(column), downstream[i]) << column;
  }
  EXPECT_EQ(down.at(99), 0);
  EXPECT_EQ(down.at(113), 0);
  Interleave ten{10, {0, 3, 6, 9, 12, 15, 18, 21, 24, 27}};
  EXPECT_EQ(geometry::pass_of_residue(ten, 1), (std::vector<int>{0, 7, 4, 1, 8, 5, 2, 9, 6, 3}));
}

}  // namespace
}  // namespace scrapetrace
