#include "layout/read_scenario.h"

#include <gtest/gtest.h>

#include "files.h"
#include "geometry/frames.h"

namespace scrapetrace {
namespace {

using layout::read_scenario;
using layout::Scenario;

Scenario good(const std::string& body, const Layout& layout) {
  const auto scenario = read_scenario("schema = \"scrapetrace.scenario/1\"\n" + body, "f", layout);
  if (!scenario) throw std::runtime_error(test::shown(scenario.problems()));
  return *scenario;
}

TEST(ReadScenario, EveryOptionArrives) {
  const Scenario s = good(
      "[print]\njet_variation = 0.01\nmachine_seed = 9\nmottle = 0.02\nmottle_mm = 4\ngrain = 0.04\n"
      "screen_lpi = 85\nscreen_deg = 22.5\nsheet_seed = 21\n"
      "paper_white = 0.8\nstretch_x = 1.001\nstretch_y = 0.999\nshift_x_mm = -1.5\nshift_y_mm = 2\n"
      "[scan]\ndpi = 300\nblur_px = 1\nnoise = 2\nskew_deg = -0.4\nturn_deg = 270\nface_mirrored = true\n"
      "margin_mm = -4\nbed = 0.1\ngrey = true\nbits = 16\nscan_seed = 11\nthreads = 2\n",
      test::good_layout("hobdrel"));
  EXPECT_EQ(s.print.jet_variation, 0.01);
  EXPECT_EQ(s.print.machine_seed, 9U);
  EXPECT_EQ(s.print.mottle, 0.02);
  EXPECT_EQ(s.print.mottle_mm, 4);
  EXPECT_EQ(s.print.grain, 0.04);
  EXPECT_EQ(s.print.screen_lpi, 85);
  EXPECT_EQ(s.print.screen_deg, 22.5);
  EXPECT_EQ(s.print.sheet_seed, 21U);
  EXPECT_EQ(s.print.paper_white, 0.8);
  EXPECT_EQ(s.print.stretch_x, 1.001);
  EXPECT_EQ(s.print.stretch_y, 0.999);
  EXPECT_EQ(s.print.shift_x_mm, -1.5);
  EXPECT_EQ(s.print.shift_y_mm, 2);
  EXPECT_EQ(s.scan.dpi, 300);
  EXPECT_EQ(s.scan.blur_px, 1);
  EXPECT_EQ(s.scan.noise, 2);
  EXPECT_EQ(s.scan.skew_deg, -0.4);
  EXPECT_EQ(s.scan.turn_deg, 270);
  EXPECT_TRUE(s.scan.face_mirrored);
  EXPECT_EQ(s.scan.margin_mm, -4);
  EXPECT_EQ(s.scan.bed, 0.1);
  EXPECT_TRUE(s.scan.grey);
  EXPECT_EQ(s.scan.bits, 16);
  EXPECT_EQ(s.scan.scan_seed, 11U);
  EXPECT_EQ(s.scan.threads, 2);
}

TEST(ReadScenario, NothingButTheSchemaIsAFaultlessMachine) {
  const Scenario s = good("", test::good_layout("hobdrel"));
  EXPECT_TRUE(s.causes.residues.empty());
  EXPECT_EQ(s.print.jet_variation, PrintOptions{}.jet_variation);
  EXPECT_EQ(s.scan.dpi, ScanOptions{}.dpi);
}

// The middle of the residue comes back as the outward distance that was asked for, on every head and side,
// turned round or not.
TEST(ReadScenario, ResidueOnAHeadStandsWhereTheFileSays) {
  for (const std::string machine : {"hobdrel", "quennip", "tavvick"}) {
    const Layout layout = test::good_layout(machine);
    for (const Head& head : layout.heads) {
      for (const Side side : {Side::left, Side::right}) {
        const Scenario s =
            good("[[residue]]\nhead = \"" + head.name + "\"\nside = \"" + to_string(side) +
                     "\"\nsurface = \"faceplate\"\noutward_mm = 2.5\ncontact = \"downstream\"\n"
                     "width_mm = 0.8\nloss = 0.4\ny_mm = [10, 60]\n",
                 layout);
        const Residue& residue = s.causes.residues.at(0);
        EXPECT_NEAR(geometry::outward_from_drum(layout, head, side, residue.x_mm + 0.4), 2.5, 1e-9);
        EXPECT_EQ(residue.carriage, head.carriage);
        EXPECT_EQ(residue.width_mm, 0.8);
        EXPECT_EQ(residue.loss, 0.4);
        EXPECT_TRUE(residue.downstream);
        EXPECT_EQ(residue.y.from_mm, 10);
        EXPECT_EQ(residue.y.to_mm, 60);
        EXPECT_EQ(residue.head, head.name);
        EXPECT_EQ(residue.side, side);
        EXPECT_EQ(residue.surface, "faceplate");
      }
    }
  }
}

TEST(ReadScenario, ResidueOnACarriageIsTakenAsItStands) {
  const Scenario s = good(
      "[[residue]]\ncarriage = \"low\"\nx_drum_mm = 100.5\ncontact = \"upstream\"\nwidth_mm = 1\nloss = 1\n",
      test::good_layout("hobdrel"));
  const Residue& residue = s.causes.residues.at(0);
  EXPECT_EQ(residue.carriage, 1U);
  EXPECT_EQ(residue.x_mm, 100.5);
  EXPECT_FALSE(residue.downstream);
  EXPECT_EQ(residue.head, "");
  EXPECT_FALSE(residue.side.has_value());
  EXPECT_EQ(residue.y.from_mm, -std::numeric_limits<double>::infinity());
}

TEST(ReadScenario, OtherCausesArrive) {
  const Scenario s = good(
      "[[jet]]\nhead = \"3\"\nink = \"yellow\"\njet = 127\n"
      "[[jet]]\nhead = \"1\"\nink = \"cyan\"\njet = 0\nloss = 0.5\n"
      "[[scratch]]\nx_drum_mm = 60\nwidth_mm = 0.3\nloss = 0.6\ny_mm = [0, 100]\n"
      "[[haze]]\nx_drum_mm = 200\nwidth_mm = 4\ndensity = 0.1\n"
      "[[line]]\ncolumn_fraction = 0.25\nwidth_px = 2\ngain = 0.8\n"
      "[[shift]]\ncarriage = \"high\"\noffset_mm = -0.08\n",
      test::good_layout("hobdrel"));
  ASSERT_EQ(s.causes.jets.size(), 2U);
  EXPECT_EQ(s.causes.jets[0].head, 2U);
  EXPECT_EQ(s.causes.jets[0].ink, 2U);
  EXPECT_EQ(s.causes.jets[0].jet, 127);
  EXPECT_EQ(s.causes.jets[0].loss, 1);
  EXPECT_EQ(s.causes.jets[1].loss, 0.5);
  EXPECT_EQ(s.causes.scratches.at(0).x_mm, 60);
  EXPECT_EQ(s.causes.scratches[0].width_mm, 0.3);
  EXPECT_EQ(s.causes.scratches[0].loss, 0.6);
  EXPECT_EQ(s.causes.scratches[0].y.to_mm, 100);
  EXPECT_EQ(s.causes.hazes.at(0).x_mm, 200);
  EXPECT_EQ(s.causes.hazes[0].width_mm, 4);
  EXPECT_EQ(s.causes.hazes[0].density, 0.1);
  EXPECT_EQ(s.causes.lines.at(0).column_fraction, 0.25);
  EXPECT_EQ(s.causes.lines[0].width_px, 2);
  EXPECT_EQ(s.causes.lines[0].gain, 0.8);
  ASSERT_EQ(s.causes.shifts.size(), 1U);
  EXPECT_EQ(s.causes.shifts[0].carriage, 0U);
  EXPECT_EQ(s.causes.shifts[0].offset_mm, -0.08);
}

}  // namespace
}  // namespace scrapetrace
