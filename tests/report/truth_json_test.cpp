// The truth file of a rendered scan.

#include "report/truth_json.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace scrapetrace {
namespace {

// Columns, rows and scan pixels of 0.1 mm; the sheet lies mirrored under drum X 45 to 5 mm.
struct Scene {
  Layout layout;
  Chart chart;
  Causes causes;
  PrintOptions print;
  ScanOptions scan;

  Scene() {
    layout.name = "small \xff machine";
    layout.drum = {50, 60};
    layout.raster = {254, 254};
    layout.interleave = {4, {0, 5, 10, 15}};
    layout.transfer = {true, 1.0, 45.0};
    layout.inks = {{"cyan", {1.1, 0.3, 0.1}}};
    layout.carriages = {{"high", 30, 0, 1}};
    layout.heads = {{"1", 0, 10, 110, false}};
    layout.zones = {{"faceplate", Side::left, -30, 1, 1, 4}, {"insulation", Side::left, -30, 9, 1, 4}};
    chart.sheet_mm = {40, 12};
    scan.dpi = 254;
    scan.margin_mm = 2;
    scan.turn_deg = 90;
    scan.scan_seed = 77;
  }

  [[nodiscard]] nlohmann::json truth() const {
    const auto image = simulate_scan(layout, chart, causes, print, scan);
    EXPECT_TRUE(image.ok());
    return nlohmann::json::parse(
        report::truth_json(layout, chart, causes, print, scan, image.value(), {"0.0", {}}));
  }
};

TEST(TruthJson, TellsWhereAResidueShowsAndWhatItMayBe) {
  Scene scene;
  scene.causes.residues = {{0, true, 20.02, 1.0, 0.4, {}, "1", Side::left, "insulation"}};
  const auto residue = scene.truth()["causes"]["residue"][0];
  EXPECT_EQ(residue["target"]["surface"], "insulation");
  EXPECT_EQ(residue["target"]["side"], "left");
  EXPECT_DOUBLE_EQ(residue["middle_drum_mm"], 20.52);
  // Ten columns, 200 to 209 at home; the last pass stands 15 columns further. Downstream, the first pass
  // touches only its own columns, here 202 and 206 (jets at 10 + 4 i), the last pass all up to 224: 20.2
  // to 22.5 mm on the drum.
  EXPECT_NEAR(residue["streak_x_sheet_mm"][0], 45 - 22.5, 1e-9);
  EXPECT_NEAR(residue["streak_x_sheet_mm"][1], 45 - 20.2, 1e-9);
  // Left outermost jet: column 10, centre 1.05 mm.
  ASSERT_EQ(residue["targets_at_middle"].size(), 2U);
  EXPECT_NEAR(residue["targets_at_middle"][0]["outward_mm"], 1.05 - 20.52, 1e-9);
  EXPECT_TRUE(residue["y_sheet_mm"][0].is_null());
}

TEST(TruthJson, ResidueThatTouchesNoInkHasNoStreak) {
  Scene scene;
  scene.causes.residues = {{0, true, 49.2, 0.5, 0.4, {1, 5}, "", {}, ""}};
  const auto residue = scene.truth()["causes"]["residue"][0];
  EXPECT_TRUE(residue["streak_x_sheet_mm"].is_null());
  EXPECT_TRUE(residue["target"].is_null());
  EXPECT_EQ(residue["y_sheet_mm"], (nlohmann::json{1.0, 5.0}));
}

TEST(TruthJson, MapsTheSheetIntoTheImage) {
  const auto image = Scene().truth()["image"];
  EXPECT_EQ(image["width_px"], 160);
  EXPECT_EQ(image["height_px"], 440);
  // A clockwise quarter turn: u runs against y, v along x.
  const auto& rows = image["scan_from_sheet"];
  EXPECT_NEAR(rows[0][1], -10, 1e-9);
  EXPECT_NEAR(rows[0][2], 140, 1e-9);
  EXPECT_NEAR(rows[1][0], 10, 1e-9);
  EXPECT_NEAR(rows[1][2], 20, 1e-9);
}

TEST(TruthJson, HoldsEveryCauseAndSeed) {
  Scene scene;
  scene.causes.jets = {{0, 0, 30, 0.7}};
  scene.causes.scratches = {{20, 0.7, 0.45, {2, 6}}};
  scene.causes.hazes = {{25, 4, 0.2, {}}};
  scene.causes.lines = {{0.25, 1.5, 0.6}};
  scene.causes.shifts = {{0, 0.07}};
  const auto truth = scene.truth();
  const auto& causes = truth["causes"];
  EXPECT_EQ(truth["schema"], "scrapetrace.truth/1");
  EXPECT_EQ(truth["scan"]["scan_seed"], 77);
  EXPECT_EQ(truth["print"]["machine_seed"], 1);
  // Jet 30: columns 130, 135, 140, 145, centres 13.05 to 14.55 mm on the drum.
  const auto& lines = causes["dead_jet"][0]["lines_x_sheet_mm"];
  ASSERT_EQ(lines.size(), 4U);
  EXPECT_NEAR(lines[0], 45 - 14.55, 1e-9);
  EXPECT_NEAR(lines[3], 45 - 13.05, 1e-9);
  EXPECT_NEAR(causes["drum_scratch"][0]["x_sheet_mm"][0], 45 - 20.7, 1e-9);
  EXPECT_NEAR(causes["blade_haze"][0]["middle_sheet_mm"], 20, 1e-9);
  EXPECT_EQ(causes["scanner_line"][0]["gain"], 0.6);
  EXPECT_EQ(causes["seam_mismatch"][0]["offset_mm"], 0.07);
}

}  // namespace
}  // namespace scrapetrace
