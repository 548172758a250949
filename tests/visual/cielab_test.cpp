#include "visual/cielab.h"

#include <gtest/gtest.h>

#include <array>

#include "base/srgb.h"

namespace scrapetrace::visual {
namespace {

struct Pair {
  Lab a;
  Lab b;
  double delta_e;
};

// Sharma, Wu, Dalal, "The CIEDE2000 color-difference formula", Color Res. Appl. 30(1), 2005, 21-30, table 1:
// 15 of its 34 pairs, among them those on both sides of the hue's wrap.
constexpr std::array<Pair, 15> kPublished{
    {{{50, 2.6772, -79.7751}, {50, 0, -82.7485}, 2.0425},
     {{50, -1.3802, -84.2814}, {50, 0, -82.7485}, 1.0000},
     {{50, 0, 0}, {50, -1, 2}, 2.3669},
     {{50, 2.49, -0.001}, {50, -2.49, 0.0009}, 7.1792},
     {{50, 2.49, -0.001}, {50, -2.49, 0.0011}, 7.2195},
     {{50, -0.001, 2.49}, {50, 0.0009, -2.49}, 4.8045},
     {{50, -0.001, 2.49}, {50, 0.0011, -2.49}, 4.7461},
     {{50, 2.5, 0}, {50, 0, -2.5}, 4.3065},
     {{50, 2.5, 0}, {73, 25, -18}, 27.1492},
     {{50, 2.5, 0}, {56, -27, -3}, 31.9030},
     {{50, 2.5, 0}, {58, 24, 15}, 19.4535},
     {{60.2574, -34.0099, 36.2677}, {60.4626, -34.1751, 39.4387}, 1.2644},
     {{22.7233, 20.0904, -46.6940}, {23.0331, 14.9730, -42.5619}, 2.0373},
     {{6.7747, -0.2908, -2.4247}, {5.8714, -0.0985, -2.2286}, 0.6377},
     {{2.0776, 0.0795, -1.1350}, {0.9033, -0.0636, -0.5514}, 0.9082}}};

TEST(Cielab, Ciede2000GivesThePublishedDifferencesBothWays) {
  for (const auto& pair : kPublished) {
    EXPECT_NEAR(delta_e_2000(pair.a, pair.b), pair.delta_e, 1e-4);
    EXPECT_NEAR(delta_e_2000(pair.b, pair.a), pair.delta_e, 1e-4);
  }
}

TEST(Cielab, GreysHaveNoChroma) {
  // L* of sRGB code 128 by IEC 61966-2-1 and CIE 15: 53.5850.
  const double v = linear_from_srgb(128.0 / 255);
  const Lab grey = lab_from_linear({v, v, v});
  EXPECT_NEAR(grey.l, 53.5850, 1e-4);
  EXPECT_NEAR(grey.a, 0, 1e-9);
  EXPECT_NEAR(grey.b, 0, 1e-9);
}

// The primaries by the same standards with the matrix of seven decimals.
TEST(Cielab, PrimariesHaveTheirCoordinates) {
  const Lab red = lab_from_linear({1, 0, 0});
  EXPECT_NEAR(red.l, 53.2408, 5e-4);
  EXPECT_NEAR(red.a, 80.0925, 5e-3);
  EXPECT_NEAR(red.b, 67.2032, 5e-3);
}

}  // namespace
}  // namespace scrapetrace::visual
