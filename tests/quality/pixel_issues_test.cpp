// Issues of single pixels, on histograms and steps made by hand.

#include "quality/pixel_issues.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

namespace scrapetrace::quality {
namespace {

// A good scan: paper around 235, ink around 80, nothing at the ends.
PixelStatistics good_scan() {
  PixelStatistics pixels;
  for (auto& codes : pixels.codes) {
    for (std::size_t code = 225; code < 246; ++code) codes[code] = 3000;
    for (std::size_t code = 70; code < 90; ++code) codes[code] = 1000;
  }
  for (auto& step : pixels.steps) step = {2000, 1000};
  return pixels;
}

bool has(const std::vector<Issue>& issues, ScanIssue kind) {
  return std::any_of(issues.begin(), issues.end(), [&](const Issue& issue) { return issue.kind == kind; });
}

TEST(PixelIssues, NoneOnAGoodScan) {
  EXPECT_TRUE(pixel_issues(good_scan()).empty());
}

TEST(PixelIssues, NoneWithoutPixels) {
  EXPECT_TRUE(pixel_issues({}).empty());
}

// 63,000 light pixels beside those at 255: a quarter of all light pixels is 21,000.
TEST(PixelIssues, PaperAtFullWhiteIsClippedFromAQuarterOn) {
  for (const auto& [full, clipped] : {std::pair{20'000, false}, {22'000, true}}) {
    PixelStatistics pixels = good_scan();
    for (auto& codes : pixels.codes) codes[255] = static_cast<std::uint64_t>(full);
    EXPECT_EQ(has(pixel_issues(pixels), ScanIssue::clipped), clipped) << full;
    EXPECT_FALSE(has(pixel_issues(pixels), ScanIssue::enhanced)) << full;
  }
}

TEST(PixelIssues, OneChannelBelowFullWhiteIsEnough) {
  PixelStatistics pixels = good_scan();
  pixels.codes[0][255] = pixels.codes[1][255] = 60'000;
  EXPECT_TRUE(pixel_issues(pixels).empty());
}

// Software that whitens the background leaves nothing from 240 to 254.
TEST(PixelIssues, WhitenedPaperHasAGapBelowFullWhite) {
  PixelStatistics pixels = good_scan();
  for (auto& codes : pixels.codes) {
    std::fill(codes.begin() + 225, codes.begin() + 246, 0);
    codes[255] = 63'000;
  }
  EXPECT_TRUE(has(pixel_issues(pixels), ScanIssue::enhanced));
  for (auto& codes : pixels.codes) codes[250] = 63'000 * 4 / 100;  // the limit is 3 %
  EXPECT_FALSE(has(pixel_issues(pixels), ScanIssue::enhanced));
  EXPECT_TRUE(has(pixel_issues(pixels), ScanIssue::clipped));
}

// 83,000 pixels beside those at 0: a hundredth of all is 838.
TEST(PixelIssues, BlackIsClippedFromAHundredthOn) {
  for (const auto& [black, clipped] : {std::pair{800, false}, {900, true}}) {
    PixelStatistics pixels = good_scan();
    pixels.codes[2][0] = static_cast<std::uint64_t>(black);
    EXPECT_EQ(has(pixel_issues(pixels), ScanIssue::clipped), clipped) << black;
  }
}

TEST(PixelIssues, StrongCompressionShowsInTablesOrBlocks) {
  PixelStatistics tables = good_scan();
  tables.quantisation_sigma = 13.5;
  EXPECT_TRUE(has(pixel_issues(tables), ScanIssue::compressed));
  PixelStatistics blocks = good_scan();
  blocks.steps[0] = {6200, 1000};
  EXPECT_TRUE(has(pixel_issues(blocks), ScanIssue::compressed));
  blocks.steps[0] = {5800, 1000};
  EXPECT_FALSE(has(pixel_issues(blocks), ScanIssue::compressed));
}

TEST(Blockiness, IsTheStepAtBordersOverThatInside) {
  PixelStatistics pixels;
  for (std::size_t k = 0; k < pixels.steps.size(); ++k)
    pixels.steps[k] = {static_cast<double>(10 * k), 10};  // means 0, 1, ... 7
  pixels.steps[0] = {120, 10};                            // mean 12; the others' mean is 4
  EXPECT_NEAR(blockiness(pixels), 3, 1e-12);
  pixels.steps[0] = {0, 0};
  EXPECT_EQ(blockiness(pixels), 1);
}

TEST(HidesStreaks, OnlyWithVeryCoarseTables) {
  PixelStatistics pixels = good_scan();
  pixels.quantisation_sigma = 15;
  EXPECT_FALSE(hides_streaks(pixels));
  pixels.quantisation_sigma = 15.1;
  ASSERT_TRUE(hides_streaks(pixels));
  EXPECT_EQ(hides_streaks(pixels)->kind, ScanIssue::compressed);
}

// JPEG with chroma subsampled by two codes blocks of 16 pixels (ISO/IEC 10918-1, A.2).
TEST(CoderSmear, IsABlockWhereRoundingMatters) {
  PixelStatistics pixels;
  EXPECT_EQ(coder_smear_px(pixels), 0);
  EXPECT_EQ(finest_beside_coder_px(pixels), 0);
  pixels.quantisation_sigma = 2.5;
  EXPECT_EQ(coder_smear_px(pixels), 0);
  pixels.quantisation_sigma = 5;
  EXPECT_EQ(coder_smear_px(pixels), 16);
  // 5.5 standard deviations of a tenth of 5 codes at 0.012 of the ink per code, over 16 pixels.
  EXPECT_NEAR(finest_beside_coder_px(pixels), 5.5 * 0.5 * 0.012 * 16, 1e-12);
}

}  // namespace
}  // namespace scrapetrace::quality
