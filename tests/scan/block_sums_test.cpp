// Block means against means taken pixel by pixel.

#include "scan/block_sums.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "base/srgb.h"

namespace scrapetrace::scan {
namespace {

struct Shape {
  int width, height, bands, bytes, rows_per_block;
  bool transposed;
};

std::ostream& operator<<(std::ostream& out, const Shape& s) {
  return out << s.width << " x " << s.height << " x " << s.bands << ", " << s.bytes << " bytes, blocks of "
             << s.rows_per_block << (s.transposed ? ", transposed" : "");
}

class Means : public ::testing::TestWithParam<Shape> {};

// Each code's linear light is rounded to 1/65535, and so is the mean.
constexpr double kRounding = 1.0;

TEST_P(Means, AreThoseOfEveryPixel) {
  const Shape s = GetParam();
  std::mt19937 random(17);
  const double full = s.bytes == 1 ? 255 : 65535;
  std::vector<std::uint16_t> codes(static_cast<std::size_t>(s.width * s.height * s.bands));
  for (auto& code : codes) code = static_cast<std::uint16_t>(random() % (s.bytes == 1 ? 256 : 65536));
  codes[0] = static_cast<std::uint16_t>(full);

  PageRaster page;
  page.transposed = s.transposed;
  page.width_px = s.transposed ? s.height : s.width;
  page.height_px = s.transposed ? s.width : s.height;
  page.rows_per_block = s.rows_per_block;
  BlockSums sums(page, s.bands, s.bytes);
  for (int v = 0; v < s.height; ++v) {
    const auto* row = codes.data() + static_cast<std::size_t>(v * s.width * s.bands);
    std::vector<std::uint8_t> bytes(row, row + s.width * s.bands);
    const auto* samples = s.bytes == 1 ? bytes.data() : reinterpret_cast<const std::uint8_t*>(row);
    sums.add_row(samples);
  }

  EXPECT_EQ(page.grey, s.bands == 1);
  ASSERT_EQ(page.blocks(), (page.height_px + s.rows_per_block - 1) / s.rows_per_block);
  for (int block = 0; block < page.blocks(); ++block) {
    for (int c = 0; c < 3; ++c) {
      for (int x = 0; x < page.width_px; ++x) {
        double sum = 0;
        int rows = 0;
        for (int y = block * s.rows_per_block; y < std::min(page.height_px, (block + 1) * s.rows_per_block);
             ++y) {
          const int u = s.transposed ? y : x;
          const int v = s.transposed ? x : y;
          const int band = s.bands == 1 ? 0 : c;
          const auto code = codes[static_cast<std::size_t>((v * s.width + u) * s.bands + band)];
          sum += 65535 * linear_from_srgb(code / full);
          ++rows;
        }
        ASSERT_NEAR(page.row(block, c)[x], sum / rows, kRounding) << block << " " << c << " " << x;
      }
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Scan, Means,
                         ::testing::Values(Shape{37, 50, 3, 1, 8, false}, Shape{37, 48, 1, 1, 16, false},
                                           Shape{20, 33, 3, 2, 8, false}, Shape{1, 1, 3, 1, 16, false},
                                           Shape{37, 50, 3, 1, 8, true}, Shape{50, 20, 1, 2, 7, true},
                                           Shape{19, 130, 3, 2, 64, false}, Shape{130, 19, 3, 1, 64, true}));

}  // namespace
}  // namespace scrapetrace::scan
