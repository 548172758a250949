// What would tell two targets apart, case by case.

#include "targets/tell_apart.h"

#include <gtest/gtest.h>

#include "support/raster_of.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_machine;

// Heads 1 and 2 on one carriage, 3 on another; a second surface on each side.
Layout three_heads() {
  Layout layout = bench_machine();
  layout.heads = {{"1", 0, 40, 100, false}, {"2", 0, 560, 100, false}, {"3", 1, 1080, 100, false}};
  layout.zones = {{"faceplate", Side::left, -3, 4, 1, 4},
                  {"faceplate", Side::right, -3, 4, 1, 4},
                  {"insulation", Side::right, 4, 9, 1, 4}};
  return layout;
}

constexpr std::size_t kLeft = 0;
constexpr std::size_t kRight = 1;
constexpr std::size_t kInsulationRight = 2;

std::string sentence(const Layout& layout, std::size_t head_a, std::size_t zone_a, std::size_t head_b,
                     std::size_t zone_b) {
  geometry::TargetZone a;
  a.head = head_a;
  a.zone = zone_a;
  geometry::TargetZone b;
  b.head = head_b;
  b.zone = zone_b;
  return tell_apart(layout, a, b);
}

bool says(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(TellApart, SurfacesOfOneSide) {
  const auto s = sentence(three_heads(), 0, kRight, 0, kInsulationRight);
  EXPECT_TRUE(says(s, "Same side of the same head")) << s;
  EXPECT_TRUE(says(s, "faceplate") && says(s, "insulation")) << s;
}

TEST(TellApart, SidesOfOneHead) {
  const auto s = sentence(three_heads(), 0, kLeft, 0, kRight);
  EXPECT_TRUE(says(s, "Two sides of one head")) << s;
}

TEST(TellApart, SidesThatFaceEachOther) {
  for (const auto& s :
       {sentence(three_heads(), 0, kRight, 1, kLeft), sentence(three_heads(), 1, kLeft, 0, kRight)}) {
    EXPECT_TRUE(says(s, "face each other")) << s;
    EXPECT_TRUE(says(s, "heads 1 and 2") || says(s, "heads 2 and 1")) << s;
  }
}

TEST(TellApart, FacingGoesByTheDrumNotByTheStencil) {
  Layout layout = three_heads();
  layout.heads[1].rotated = true;  // its stencilled right now looks at head 1
  EXPECT_TRUE(says(sentence(layout, 0, kRight, 1, kRight), "face each other"));
  EXPECT_FALSE(says(sentence(layout, 0, kRight, 1, kLeft), "face each other"));
}

TEST(TellApart, SidesOfOneCarriageThatDoNotFace) {
  const auto s = sentence(three_heads(), 0, kLeft, 1, kRight);
  EXPECT_TRUE(says(s, "ride on carriage high")) << s;
  Layout apart = three_heads();
  apart.heads[2].carriage = 0;  // heads 1 and 3 have head 2 between them
  EXPECT_FALSE(says(sentence(apart, 0, kRight, 2, kLeft), "face each other"));
}

TEST(TellApart, CarriagesThatTravelOppositeWays) {
  Layout layout = three_heads();
  layout.carriages[1].travel = -1;
  const auto s = sentence(layout, 1, kRight, 2, kLeft);
  EXPECT_TRUE(says(s, "opposite ways")) << s;
  EXPECT_TRUE(says(s, "head 2 right") && says(s, "head 3 left")) << s;
}

TEST(TellApart, CarriagesThatTravelTheSameWay) {
  const auto s = sentence(three_heads(), 1, kRight, 2, kLeft);
  EXPECT_TRUE(says(s, "carriages high and low")) << s;
  EXPECT_TRUE(says(s, "look at both")) << s;
}

}  // namespace
}  // namespace scrapetrace::diagnose
