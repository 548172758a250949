// The same truth told another way must give the same answer, moved as the change says.

#include <gtest/gtest.h>

#include <ostream>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::find;
using testing::kDrumColumns;
using testing::noisy_scan;
using testing::only;
using testing::probability_of;
using testing::residue_at;
using testing::streaks_of;
using testing::two_way_machine;

constexpr double kSure = 0.95;
constexpr double kPlace_mm = 0.1;
constexpr double kRounding = 1e-6;

Residue plain_residue(const Layout& layout) {
  return residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5);
}

TEST(Identities, PlainPage) {
  const Layout layout = two_way_machine();
  const Findings found = find(layout, only(plain_residue(layout)), noisy_scan(1));
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
  EXPECT_GT(found.targets[0].probability, kSure);
  EXPECT_NEAR(found.targets[0].outward_mm, 1.5, kPlace_mm);
  ASSERT_EQ(found.streaks.size(), 1U);
  ASSERT_TRUE(found.streaks[0].residue.has_value());
  EXPECT_NEAR(found.streaks[0].residue->loss, 0.5, 0.03);
  EXPECT_NEAR(found.streaks[0].residue->width_mm, 0.8, kPlace_mm);
  EXPECT_EQ(found.streaks[0].residue->carriage, "high");
}

// One machine and its mirror image: columns counted from the drum's other end, travel and stencils turned.
Layout mirror_image(const Layout& layout) {
  Layout out = layout;
  for (Head& head : out.heads) {
    head.first_jet_px =
        kDrumColumns - 1 - head.first_jet_px - (head.jets - 1) * layout.interleave.jet_pitch_px;
  }
  for (Carriage& carriage : out.carriages) carriage.travel = -carriage.travel;
  std::reverse(out.heads.begin(), out.heads.end());
  out.transfer.mirrored = !layout.transfer.mirrored;
  out.transfer.sheet_left_on_drum_mm = kDrumColumns * layout.px_mm() - layout.transfer.sheet_left_on_drum_mm;
  return out;
}

TEST(Identities, MirroringTheMachineMirrorsTheAnswer) {
  const Layout layout = two_way_machine();
  const auto scan = testing::scanned(layout, only(plain_residue(layout)), noisy_scan(2));
  const Findings plain = find(layout, {scan});
  const Findings mirrored = find(mirror_image(layout), {scan});
  ASSERT_FALSE(plain.targets.empty());
  ASSERT_FALSE(mirrored.targets.empty());
  EXPECT_EQ(mirrored.targets[0].head, plain.targets[0].head);
  EXPECT_EQ(plain.targets[0].side, Side::right);
  EXPECT_EQ(mirrored.targets[0].side, Side::left);
  EXPECT_NEAR(mirrored.targets[0].probability, plain.targets[0].probability, 0.02);
  EXPECT_NEAR(mirrored.targets[0].x_drum_mm, kDrumColumns * layout.px_mm() - plain.targets[0].x_drum_mm,
              0.03);
  EXPECT_NEAR(mirrored.targets[0].outward_mm, plain.targets[0].outward_mm, 0.03);
  EXPECT_NEAR(mirrored.targets[0].x_sheet_mm, plain.targets[0].x_sheet_mm, 0.03);
}

TEST(Identities, AMirroredTransferMovesTheStreakOnTheSheetOnly) {
  Layout layout = two_way_machine();
  const Findings plain = find(layout, only(plain_residue(layout)), noisy_scan(3));
  layout.transfer = {true, 1.0, 110.0};  // the sheet covers the same 10 to 110 mm of the drum
  const Findings mirrored = find(layout, only(plain_residue(layout)), noisy_scan(3));
  ASSERT_FALSE(plain.targets.empty());
  ASSERT_FALSE(mirrored.targets.empty());
  EXPECT_EQ(mirrored.targets[0].head, plain.targets[0].head);
  EXPECT_EQ(mirrored.targets[0].side, plain.targets[0].side);
  EXPECT_NEAR(mirrored.targets[0].x_drum_mm, plain.targets[0].x_drum_mm, kPlace_mm);
  EXPECT_NEAR(mirrored.streaks[0].x_sheet_mm, 100 - plain.streaks[0].x_sheet_mm, kPlace_mm);
}

TEST(Identities, RotatingAHeadSwapsItsNames) {
  Layout layout = two_way_machine();
  const auto scan = testing::scanned(layout, only(plain_residue(layout)), noisy_scan(4));
  const Findings plain = find(layout, {scan});
  layout.heads[0].rotated = true;
  const Findings rotated = find(layout, {scan});
  ASSERT_FALSE(plain.targets.empty());
  ASSERT_EQ(rotated.targets.size(), plain.targets.size());
  EXPECT_EQ(plain.targets[0].side, Side::right);
  EXPECT_EQ(rotated.targets[0].side, Side::left);
  EXPECT_EQ(rotated.targets[0].head, plain.targets[0].head);
  EXPECT_NEAR(rotated.targets[0].probability, plain.targets[0].probability, kRounding);
  EXPECT_NEAR(rotated.targets[0].x_drum_mm, plain.targets[0].x_drum_mm, kRounding);
}

TEST(Identities, ACarriagesOffsetMovesItsResidueAlong) {
  for (const double offset_mm : {-0.08, 0.05, 0.13}) {
    Layout layout = two_way_machine();
    const double home_mm = plain_residue(layout).x_mm + 0.4;
    layout.carriages[0].offset_mm = offset_mm;
    const Findings found = find(layout, only(plain_residue(layout)), noisy_scan(5));
    ASSERT_FALSE(found.targets.empty()) << offset_mm;
    EXPECT_EQ(found.targets[0].head, "1");
    EXPECT_EQ(found.targets[0].side, Side::right);
    EXPECT_GT(found.targets[0].probability, kSure);
    EXPECT_NEAR(found.targets[0].x_drum_mm, home_mm + offset_mm, 0.05);
    EXPECT_NEAR(found.targets[0].outward_mm, 1.5, 0.05);
  }
}

// A seam where ink overlaps or leaves a gap is the layout's own doing.
TEST(Identities, SeamsOfOffsetCarriagesAreNoFinding) {
  for (const double offset_mm : {-0.12, -0.04, 0.06, 0.15}) {
    Layout layout = two_way_machine();
    layout.carriages[1].offset_mm = offset_mm;
    for (const double dpi : {300.0, 600.0}) {
      const Findings found = find(layout, Causes{}, noisy_scan(6, dpi));
      EXPECT_TRUE(found.streaks.empty()) << offset_mm << " at " << dpi << ": " << streaks_of(found);
      EXPECT_TRUE(found.targets.empty());
    }
  }
}

class Resolution : public ::testing::TestWithParam<double> {};

TEST_P(Resolution, DoesNotMoveTheAnswer) {
  const Layout layout = two_way_machine();
  const Findings found = find(layout, only(plain_residue(layout)), noisy_scan(7, GetParam()));
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
  EXPECT_GT(found.targets[0].probability, kSure);
  EXPECT_NEAR(found.targets[0].outward_mm, 1.5, kPlace_mm);
  EXPECT_EQ(found.scans[0].registration->dpi, GetParam());
  EXPECT_EQ(found.scans[0].verdict, QualityVerdict::ok);
}

INSTANTIATE_TEST_SUITE_P(Locate, Resolution, ::testing::Values(300, 400, 600));

struct WayRound {
  int turn_deg;
  bool face_mirrored;
};
void PrintTo(const WayRound& way, std::ostream* out) {
  *out << "turned by " << way.turn_deg << (way.face_mirrored ? " mirrored" : "");
}

class Turned : public ::testing::TestWithParam<WayRound> {};

TEST_P(Turned, TheAnswerStaysAndTheReportSaysHowItLay) {
  const Layout layout = two_way_machine();
  ScanOptions scan = noisy_scan(8);
  scan.skew_deg = 0.6;
  scan.turn_deg = GetParam().turn_deg;
  scan.face_mirrored = GetParam().face_mirrored;
  const Findings found = find(layout, only(plain_residue(layout)), scan);
  ASSERT_TRUE(found.scans[0].analysed());
  EXPECT_EQ((found.scans[0].registration->turn_deg + GetParam().turn_deg) % 360, 0);
  EXPECT_EQ(found.scans[0].registration->face_mirrored, GetParam().face_mirrored);
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
  EXPECT_GT(found.targets[0].probability, kSure);
  EXPECT_NEAR(found.targets[0].outward_mm, 1.5, kPlace_mm);
}

INSTANTIATE_TEST_SUITE_P(Locate, Turned,
                         ::testing::Values(WayRound{90, false}, WayRound{180, false}, WayRound{270, false},
                                           WayRound{0, true}, WayRound{90, true}, WayRound{180, true}));

// Every side of every head, mirrored stencils included.
struct Place {
  std::size_t head;
  Side side;
  bool downstream;
};
void PrintTo(const Place& place, std::ostream* out) {
  *out << "head " << place.head << (place.side == Side::left ? " left" : " right")
       << (place.downstream ? " downstream" : " upstream");
}

class Sides : public ::testing::TestWithParam<Place> {};

TEST_P(Sides, AreTheOnesThatTouch) {
  Layout layout = two_way_machine();
  layout.heads[1].rotated = true;
  // Zones that reach inwards keep the outer heads' outer sides on the print.
  for (Zone& zone : layout.zones) zone.from_mm = -25;
  const double outward_mm = geometry::drum_side(layout.heads[GetParam().head], GetParam().side) ==
                                    (GetParam().head == 0 ? Side::right : Side::left)
                                ? 1.0
                                : -19.0;
  const Residue residue =
      residue_at(layout, GetParam().head, GetParam().side, outward_mm, 0.6, 0.5, GetParam().downstream);
  const Findings found = find(layout, only(residue), noisy_scan(9));
  const std::string& head = layout.heads[GetParam().head].name;
  ASSERT_FALSE(found.streaks.empty());
  EXPECT_EQ(found.streaks[0].likeliest(), Cause::residue);
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, head);
  EXPECT_EQ(found.targets[0].side, GetParam().side);
  EXPECT_GT(probability_of(found, head, GetParam().side), 0.9);
}

INSTANTIATE_TEST_SUITE_P(Locate, Sides,
                         ::testing::Values(Place{0, Side::left, true}, Place{0, Side::right, false},
                                           Place{1, Side::left, true}, Place{1, Side::right, false},
                                           Place{1, Side::left, false}, Place{0, Side::right, true}));

}  // namespace
}  // namespace scrapetrace
