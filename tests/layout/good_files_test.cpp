// The machines and charts that come with the project.

#include <gtest/gtest.h>

#include <map>
#include <set>

#include "files.h"
#include "geometry/column_map.h"
#include "geometry/frames.h"

namespace scrapetrace {
namespace {

namespace fs = std::filesystem;

// The machine of a chart: "hobdrel" for "hobdrel_bands".
std::string machine_of(const fs::path& chart) {
  const std::string stem = chart.stem().string();
  return stem.substr(0, stem.find('_'));
}

Chart good_chart(const fs::path& path) {
  const Layout layout = test::good_layout(machine_of(path));
  const auto chart = layout::read_chart(test::text_of(path), path.filename().string(), &layout);
  if (!chart) throw std::runtime_error(test::shown(chart.problems()));
  return *chart;
}

TEST(Geometry, AllLayoutsAreGood) {
  std::set<std::string> names;
  for (const auto& path : test::toml_files(test::source_dir() / "geometry")) {
    const auto layout = layout::read_layout(test::text_of(path), path.filename().string());
    ASSERT_TRUE(layout.ok()) << test::shown(layout.problems());
    names.insert(layout->name);
  }
  EXPECT_GE(names.size(), 3U);
}

TEST(Geometry, EveryPrintedColumnHasItsJetWhereTheModelSays) {
  for (const auto& path : test::toml_files(test::source_dir() / "geometry")) {
    const Layout layout = test::good_layout(path.stem().string());
    const geometry::ColumnMap map(layout);
    for (int c = map.printed().first; c <= map.printed().last; ++c) {
      const auto owner = map.owner(c);
      ASSERT_FALSE(owner.nobody()) << path << " column " << c;
      const Head& head = layout.heads[static_cast<std::size_t>(owner.head)];
      ASSERT_EQ(head.first_jet_px + owner.jet * layout.interleave.jet_pitch_px +
                    layout.shift_of(head.carriage, owner.pass),
                c);
      ASSERT_GE(owner.jet, 0);
      ASSERT_LT(owner.jet, head.jets);
    }
  }
}

TEST(Geometry, ChartsArePrintedInFull) {
  for (const auto& path : test::toml_files(test::source_dir() / "geometry" / "charts")) {
    SCOPED_TRACE(path.filename().string());
    const Layout layout = test::good_layout(machine_of(path));
    const geometry::ColumnMap map(layout);
    const geometry::SheetFromDrum sheet(layout);
    for (const auto& patch : good_chart(path).patches) {
      for (const double x : patch.x_mm) {
        const int column = static_cast<int>(sheet.drum_x(x) / layout.px_mm());
        EXPECT_FALSE(map.owner(column).nobody()) << x;
      }
    }
  }
}

// A quarter turn, a half turn or a mirror image of the sheet must not give the same chart again.
TEST(Geometry, ChartsTellWhichWayUpTheyAre) {
  for (const auto& path : test::toml_files(test::source_dir() / "geometry" / "charts")) {
    const Chart chart = good_chart(path);
    std::set<std::array<double, 4>> as_is;
    std::set<std::array<double, 4>> upside_down;
    std::set<std::array<double, 4>> mirrored;
    for (const auto& p : chart.patches) {
      const double w = chart.sheet_mm[0];
      const double h = chart.sheet_mm[1];
      as_is.insert({p.x_mm[0], p.x_mm[1], p.y_mm[0], p.y_mm[1]});
      upside_down.insert({w - p.x_mm[1], w - p.x_mm[0], h - p.y_mm[1], h - p.y_mm[0]});
      mirrored.insert({w - p.x_mm[1], w - p.x_mm[0], p.y_mm[0], p.y_mm[1]});
    }
    EXPECT_NE(as_is, upside_down) << path;
    EXPECT_NE(as_is, mirrored) << path;
  }
}

// Sheet sizes: A4 210 x 297 (ISO 216:2007), RA3 305 x 430 and SRA3 320 x 450 (ISO 217:2013, as in the PWG
// media names). A chart names its sheet in a comment.
TEST(Geometry, SheetsHaveTheirStandardSizes) {
  const std::map<std::string, std::array<double, 2>> standard{
      {"A4", {210, 297}}, {"A3", {297, 420}}, {"RA3", {305, 430}}, {"SRA3", {320, 450}}};
  for (const auto& path : test::toml_files(test::source_dir() / "geometry" / "charts")) {
    const std::string text = test::text_of(path);
    const auto before = text.find("across an ");
    ASSERT_NE(before, std::string::npos) << path;
    const std::string name = text.substr(before + 10, text.find(' ', before + 10) - before - 10);
    ASSERT_TRUE(standard.contains(name)) << name;
    EXPECT_EQ(good_chart(path).sheet_mm, standard.at(name)) << path;
  }
}

}  // namespace
}  // namespace scrapetrace
