// Lines of any colour must be equally blunt after a JPEG that thins colour.

#include "scan/luma_filter.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <vector>

#include "scan/jpeg_pixels.h"

namespace scrapetrace::scan {
namespace {

constexpr int kWide = 160;
constexpr int kHigh = 64;
using Colour = std::array<int, 3>;

// Grey with upright lines one pixel wide, on even and odd columns in turn.
std::vector<std::uint8_t> lines(const Colour& change) {
  std::vector<std::uint8_t> out(static_cast<std::size_t>(kWide) * kHigh * 3, 150);
  for (int y = 0; y < kHigh; ++y) {
    for (int x = 15; x < kWide - 15; x += 13) {
      for (std::size_t c = 0; c < 3; ++c) {
        auto& sample = out[3 * (static_cast<std::size_t>(y) * kWide + static_cast<std::size_t>(x)) + c];
        sample = static_cast<std::uint8_t>(150 + change[c]);
      }
    }
  }
  return out;
}

Result<Decoded> lines_through_jpeg(const Colour& change, int quality) {
  const auto pixels = lines(change);
  return through_jpeg({kWide, kHigh, 3, 8, pixels}, quality, false);
}

// What a line leaves in a channel at -4 to 4 px from its middle, as parts of it all; mean over lines and
// rows.
std::array<double, 9> spread(const std::vector<std::uint8_t>& data, std::size_t channel) {
  std::array<double, 9> out{};
  double all = 0;
  for (int y = 16; y < kHigh - 16; ++y) {
    for (int x = 15; x < kWide - 15; x += 13) {
      for (int k = -4; k <= 4; ++k) {
        const auto at = 3 * (static_cast<std::size_t>(y) * kWide + static_cast<std::size_t>(x + k)) + channel;
        const double lost = 150 - static_cast<double>(data[at]);
        out[static_cast<std::size_t>(k + 4)] += lost;
        all += lost;
      }
    }
  }
  for (double& part : out) part /= all;
  return out;
}

TEST(LumaFilter, GivesBlackAndColouredLinesOneWidth) {
  const auto black = lines_through_jpeg({-60, -60, -60}, 89);
  const auto magenta = lines_through_jpeg({0, -60, 0}, 89);
  ASSERT_TRUE(black && magenta);
  const auto of_black = spread(black->data, 1);
  const auto of_magenta = spread(magenta->data, 1);
  // The binomial filter: one chroma sample for two pixels (ITU-T T.871), brought back by libjpeg's triangle
  // filter.
  constexpr std::array<double, 9> kBinomial{0, 0, 1 / 16.0, 4 / 16.0, 6 / 16.0, 4 / 16.0, 1 / 16.0, 0, 0};
  for (std::size_t k = 0; k < 9; ++k) {
    EXPECT_NEAR(of_black[k], kBinomial[k], 0.04) << k;
    EXPECT_NEAR(of_magenta[k], of_black[k], 0.06) << k;
  }
}

TEST(LumaFilter, LeavesWholeColourAlone) {
  const auto black = lines_through_jpeg({-60, -60, -60}, 95);  // libvips thins below 90
  ASSERT_TRUE(black);
  EXPECT_GT(spread(black->data, 1)[4], 0.9);
  EXPECT_GT(spread(lines_through_jpeg({0, -60, 0}, 95)->data, 1)[4], 0.9);
}

TEST(LumaFilter, KeepsFlatColoursAndTellsTheTables) {
  const auto coarse = lines_through_jpeg({0, 0, 0}, 80);
  const auto fine = lines_through_jpeg({0, 0, 0}, 97);
  ASSERT_TRUE(coarse && fine);
  for (const auto sample : coarse->data) EXPECT_NEAR(sample, 150, 2);
  EXPECT_GT(coarse->quantisation_sigma, fine->quantisation_sigma);
  EXPECT_GT(fine->quantisation_sigma, 0);
}

// Along columns it must do what it does along rows to the same picture turned.
TEST(LumaFilter, IsTheSameForTheTurnedPicture) {
  constexpr int kSide = 24;
  std::vector<std::uint8_t> picture(3 * kSide * kSide);
  for (std::size_t i = 0; i < picture.size(); ++i) picture[i] = static_cast<std::uint8_t>((i * 7919) % 251);
  const auto at = [](int x, int y, int c) { return static_cast<std::size_t>(3 * (y * kSide + x) + c); };
  std::vector<std::uint8_t> turned(picture.size());
  for (int y = 0; y < kSide; ++y) {
    for (int x = 0; x < kSide; ++x) {
      for (int c = 0; c < 3; ++c) turned[at(y, x, c)] = picture[at(x, y, c)];
    }
  }
  const auto evened = [](const std::vector<std::uint8_t>& pixels, LumaFilter::Axis axis) {
    std::vector<std::uint8_t> out;
    LumaFilter even(kSide, axis, [&](const Rows& rows) {
      out.insert(out.end(), rows.first, rows.first + rows.count * rows.stride);
    });
    for (int y = 0; y < kSide; y += 5)
      even.add({pixels.data() + 3 * y * kSide, 3 * kSide, std::min(5, kSide - y)});
    even.finish();
    return out;
  };
  const auto along_rows = evened(picture, LumaFilter::Axis::along_rows);
  const auto along_columns = evened(turned, LumaFilter::Axis::along_columns);
  ASSERT_EQ(along_rows.size(), picture.size());
  ASSERT_EQ(along_columns.size(), picture.size());
  for (int y = 0; y < kSide; ++y) {
    for (int x = 0; x < kSide; ++x) {
      for (int c = 0; c < 3; ++c)
        ASSERT_EQ(along_rows[at(x, y, c)], along_columns[at(y, x, c)]) << x << ' ' << y;
    }
  }
}

}  // namespace
}  // namespace scrapetrace::scan
