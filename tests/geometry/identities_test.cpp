// What must not change, or change in a known way, when a machine is mirrored, turned or moved.

#include <gtest/gtest.h>

#include <cmath>

#include "geometry/contact.h"
#include "geometry/frames.h"
#include "geometry/zones.h"
#include "machines.h"

namespace scrapetrace::geometry {
namespace {

constexpr double kRounding_mm = 1e-9;

TEST(Frames, SheetAndDrumGoThereAndBack) {
  for (const bool mirrored : {false, true}) {
    Layout layout = testing::one_head(10, 3, 0, 60);
    layout.transfer = {mirrored, 1.0021, 325.0};
    const SheetFromDrum sheet_from_drum(layout);
    EXPECT_NEAR(sheet_from_drum.sheet_x(325.0), 0, kRounding_mm);
    EXPECT_NEAR(sheet_from_drum.sheet_x(225.0), mirrored ? 100.21 : -100.21, kRounding_mm);
    for (const double x : {-3.0, 0.0, 17.25, 400.0}) {
      EXPECT_NEAR(sheet_from_drum.drum_x(sheet_from_drum.sheet_x(x)), x, kRounding_mm);
    }
  }
}

TEST(Frames, OutwardDistanceGrowsAwayFromTheHead) {
  Layout layout = testing::one_head(10, 3, 80, 128);
  layout.carriages[0].offset_mm = 0.25;
  const Head& head = layout.heads[0];
  const double left_jet = 80.5 + 0.25;  // columns are 1 mm here
  const double right_jet = 80.5 + 1270 + 0.25;
  EXPECT_NEAR(outward_from_drum(layout, head, Side::left, left_jet - 2), 2, kRounding_mm);
  EXPECT_NEAR(outward_from_drum(layout, head, Side::left, left_jet + 2), -2, kRounding_mm);
  EXPECT_NEAR(outward_from_drum(layout, head, Side::right, right_jet + 2), 2, kRounding_mm);
  EXPECT_NEAR(drum_from_outward(layout, head, Side::right, -6), right_jet - 6, kRounding_mm);
}

TEST(Frames, RotatingAHeadSwapsTheNamesOfItsSidesOnly) {
  Layout layout = testing::one_head(10, 3, 80, 128);
  Head plain = layout.heads[0];
  Head rotated = plain;
  rotated.rotated = true;
  for (const double e : {-6.0, 0.0, 11.5}) {
    EXPECT_EQ(drum_from_outward(layout, plain, Side::left, e),
              drum_from_outward(layout, rotated, Side::right, e));
    EXPECT_EQ(drum_from_outward(layout, plain, Side::right, e),
              drum_from_outward(layout, rotated, Side::left, e));
  }
  Layout turned = layout;
  turned.heads[0] = rotated;
  const ColumnMap map(layout);
  const ColumnMap turned_map(turned);
  const Contact contact{0, true, 301.2, 7.7};
  EXPECT_EQ(count_touches(layout, map, contact).n, count_touches(turned, turned_map, contact).n);
}

TEST(Identities, SheetMirroringLeavesTheDrumAlone) {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    Layout layout = testing::random_machine(seed);
    layout.transfer = {false, 1.0, 50.0};
    Layout mirrored = layout;
    mirrored.transfer.mirrored = true;
    const Contact contact{0, false, layout.drum.width_mm / 3, 0.8};
    EXPECT_EQ(count_touches(layout, ColumnMap(layout), contact).n,
              count_touches(mirrored, ColumnMap(mirrored), contact).n);
    const double x = layout.drum.width_mm / 3;
    EXPECT_NEAR(SheetFromDrum(layout).sheet_x(x), -SheetFromDrum(mirrored).sheet_x(x), kRounding_mm);
  }
}

// Moving every carriage with its residue by the same amount changes no count, and moves the zones by just
// that.
TEST(Identities, OffsetMovesInkContactsAndZonesAlike) {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    const Layout layout = testing::random_machine(seed);
    Layout moved = layout;
    const double by_mm = 0.0137;
    for (auto& carriage : moved.carriages) carriage.offset_mm += by_mm;
    const double at = layout.drum.width_mm * 0.37;
    const ColumnMap map(layout);
    const auto counts = count_touches(layout, map, {0, true, at, 0.9});
    const auto moved_counts = count_touches(moved, ColumnMap(moved), {0, true, at + by_mm, 0.9});
    for (int c = 0; c < map.columns(); ++c) ASSERT_EQ(counts.at(c), moved_counts.at(c)) << "seed " << seed;
    const auto zones = target_zones(layout);
    const auto moved_zones = target_zones(moved);
    for (std::size_t i = 0; i < zones.size(); ++i) {
      EXPECT_NEAR(moved_zones[i].from_mm - zones[i].from_mm, by_mm, kRounding_mm);
      EXPECT_NEAR(moved_zones[i].to_mm - zones[i].to_mm, by_mm, kRounding_mm);
    }
  }
}

// The machine seen in a mirror across the drum: travel changes its sign and every profile is reversed. One
// head per machine, since the seam column goes to the left head on either side of the mirror.
TEST(Identities, ReversedTravelReversesTheProfile) {
  for (int pitch = 3; pitch <= 11; ++pitch) {
    const Layout layout = testing::one_head(pitch, pitch - 1, 100, 90);
    Layout mirror = layout;
    const int columns = ColumnMap(layout).columns();
    mirror.carriages[0].travel = -1;
    mirror.heads[0].first_jet_px = columns - 1 - (100 + 89 * pitch);
    const ColumnMap map(layout);
    const ColumnMap mirror_map(mirror);
    const double x = 251.25;
    const double width = 9.5;
    const auto counts = count_touches(layout, map, {0, true, x, width});
    const auto mirrored = count_touches(mirror, mirror_map, {0, true, columns - x - width, width});
    int touched = 0;
    for (int c = 0; c < columns; ++c) {
      ASSERT_EQ(counts.at(c), mirrored.at(columns - 1 - c)) << pitch << ", " << c;
      touched += counts.at(c);
    }
    EXPECT_GT(touched, 0);
  }
}

TEST(Zones, PriorDensitiesIntegrateToOne) {
  for (unsigned seed = 1; seed <= 40; ++seed) {
    const Layout layout = testing::random_machine(seed);
    double sum = 0;
    for (const auto& zone : target_zones(layout)) sum += zone.prior_density * (zone.to_mm - zone.from_mm);
    EXPECT_NEAR(sum, 1, 1e-12);
  }
}

TEST(Zones, PriorWeighsWholeZonesNotTheirLengths) {
  const Layout layout = testing::one_head(10, 3, 80, 128);  // 0.35 + 0.35 + 0.15 + 0.15
  const auto zones = target_zones(layout);
  ASSERT_EQ(zones.size(), 4U);
  EXPECT_NEAR(zones[0].prior_density * 13, 0.35, 1e-12);
  EXPECT_NEAR(zones[2].prior_density * 8, 0.15, 1e-12);
  EXPECT_NEAR(zones[2].to_mm, 80.5 - 7, kRounding_mm);
  EXPECT_NEAR(zones[2].from_mm, 80.5 - 15, kRounding_mm);
}

}  // namespace
}  // namespace scrapetrace::geometry
