// Patterns and sightings of tags, against OpenCV's own store of the family and its own corner search.

#include <gtest/gtest.h>
#include <unistd.h>

#include <fstream>
#include <numbers>
#include <ostream>

#include "support/oracle.h"
#include "tags/tag_picture.h"

namespace scrapetrace::tags {
namespace {

using testing::ask_oracle;
using testing::Picture;
using testing::picture_of;

TEST(TagPattern, IsTheFamilysAsOpenCvStoresIt) {
  ASSERT_EQ(count(), 587);  // the published size of tag36h11
  const std::vector<int> ids = {0, 1, 17, 300, 586};
  std::string words = "patterns";
  for (int id : ids) words += " " + std::to_string(id);
  const auto cells = ask_oracle("tags/oracle.py", words);
  ASSERT_EQ(cells.size(), ids.size() * 64);
  for (std::size_t i = 0; i < ids.size(); ++i) {
    const auto pattern = pattern_of(ids[i]);
    ASSERT_TRUE(pattern);
    for (std::size_t k = 0; k < 64; ++k)
      EXPECT_EQ((*pattern)[k / 8][k % 8], cells[i * 64 + k] == 1) << "id " << ids[i] << " cell " << k;
  }
}

TEST(TagPattern, EndsWithTheFamily) {
  EXPECT_FALSE(pattern_of(-1));
  EXPECT_FALSE(pattern_of(count()));
  EXPECT_TRUE(rectangles_of({"tag", count(), {50, 50}, 8}).empty());
}

// The rectangles cover each black cell once and no white one.
TEST(TagPattern, RectanglesAreTheBlackCells) {
  const Mark mark{"tag", 42, {30, 20}, 16};
  const auto pattern = pattern_of(mark.id).value();
  const auto rectangles = rectangles_of(mark);
  for (std::size_t r = 0; r < kCells; ++r) {
    for (std::size_t c = 0; c < kCells; ++c) {
      const double x = 22 + 2 * (static_cast<double>(c) + 0.5);
      const double y = 12 + 2 * (static_cast<double>(r) + 0.5);
      int covers = 0;
      for (const Rectangle& k : rectangles)
        covers += x > k.x_mm[0] && x < k.x_mm[1] && y > k.y_mm[0] && y < k.y_mm[1] ? 1 : 0;
      EXPECT_EQ(covers, pattern[r][c] ? 1 : 0) << r << ' ' << c;
    }
  }
}

TEST(DarkInks, AreOneBlackInkOrAllInks) {
  Layout layout;
  layout.inks = {{"cyan", {1.1, 0.3, 0.1}}, {"magenta", {0.2, 1.1, 0.4}}};
  EXPECT_EQ(dark_inks(layout), (std::vector<std::string>{"cyan", "magenta"}));
  layout.inks.push_back({"soot", {1.3, 1.3, 1.4}});
  EXPECT_EQ(dark_inks(layout), (std::vector<std::string>{"soot"}));
}

struct Lie {
  double turn_deg, cell_px, shift_px;
};
void PrintTo(const Lie& lie, std::ostream* out) {
  *out << "turned by " << lie.turn_deg << " cells of " << lie.cell_px << " px shifted by " << lie.shift_px;
}

class Sightings : public ::testing::TestWithParam<Lie> {};

// Corners in the tag's own order, to a few hundredths of a pixel, and near where OpenCV sees them.
TEST_P(Sightings, GiveTheCornersWhereTheyAre) {
  const Lie lie = GetParam();
  const double c = std::cos(lie.turn_deg * std::numbers::pi / 180) * lie.cell_px;
  const double s = std::sin(lie.turn_deg * std::numbers::pi / 180) * lie.cell_px;
  const double middle = 90 + lie.shift_px;
  const auto picture = picture_of(5, 180, 180, [&](double u, double v) -> std::array<double, 2> {
    const double du = u - middle;
    const double dv = v - middle;
    const double square = lie.cell_px * lie.cell_px;
    return {4 + (c * du + s * dv) / square, 4 + (-s * du + c * dv) / square};
  });
  const auto seen = find_tags(picture.view());
  ASSERT_EQ(seen.size(), 1U);
  EXPECT_EQ(seen[0].id, 5);
  const std::string file = ::testing::TempDir() + "tag_" + std::to_string(getpid()) + ".pgm";
  std::ofstream(file, std::ios::binary) << "P5 180 180 255\n"
                                        << std::string(picture.grey.begin(), picture.grey.end());
  const auto other = ask_oracle("tags/oracle.py", "corners " + file);
  ASSERT_EQ(other.size(), 9U);
  EXPECT_EQ(other[0], 5);
  constexpr std::array<std::array<double, 2>, 4> kCorner{{{-4, -4}, {4, -4}, {4, 4}, {-4, 4}}};
  for (std::size_t k = 0; k < 4; ++k) {
    const double u = middle + c * kCorner[k][0] - s * kCorner[k][1];
    const double v = middle + s * kCorner[k][0] + c * kCorner[k][1];
    EXPECT_NEAR(seen[0].corners_px[k][0], u, 0.03) << k;
    EXPECT_NEAR(seen[0].corners_px[k][1], v, 0.03) << k;
    EXPECT_NEAR(seen[0].corners_px[k][0], other[2 * k + 1], 0.6) << k;  // OpenCV's own corners: rounded off
    EXPECT_NEAR(seen[0].corners_px[k][1], other[2 * k + 2], 0.6) << k;
  }
}

INSTANTIATE_TEST_SUITE_P(Lies, Sightings,
                         ::testing::Values(Lie{0, 6, 0}, Lie{0, 6.25, 0.4375}, Lie{7, 5, 0.2}, Lie{90, 6, 0},
                                           Lie{180, 8, 0.3125}, Lie{271, 6, 0}, Lie{33, 10, 0.1}));

TEST(Sightings, NoneInAMirrorNorInNoise) {
  const auto mirrored = picture_of(5, 120, 120, [](double u, double v) -> std::array<double, 2> {
    return {(100 - u) / 8, (v - 30) / 8};
  });
  EXPECT_TRUE(find_tags(mirrored.view()).empty());
  Picture noise{400, 400, {}};
  std::uint32_t state = 1;
  for (int i = 0; i < 400 * 400; ++i) {
    state = state * 1664525U + 1013904223U;
    noise.grey.push_back(static_cast<std::uint8_t>(state >> 24U));
  }
  EXPECT_TRUE(find_tags(noise.view()).empty());
  EXPECT_TRUE(find_tags({0, 0, {}}).empty());
}

}  // namespace
}  // namespace scrapetrace::tags
