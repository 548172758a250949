// What single pixels are like: counted as one would by hand, whatever the bands, the bits and the width.

#include "scan/pixel_statistics.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <random>
#include <vector>

namespace scrapetrace::scan {
namespace {

constexpr int kRows = 24;
constexpr int kLargestStep = 24;

// Of rows 3, 11, 19: those that count.
template <class Sample>
PixelStatistics by_hand(const std::vector<Sample>& image, int width, int bands) {
  PixelStatistics out;
  const auto code = [&](int row, int u, int b) {
    const auto sample = image[static_cast<std::size_t>((row * width + u) * bands + b)];
    return static_cast<int>(sizeof(Sample) == 1 ? sample : sample / 256);
  };
  for (int row = 3; row < kRows; row += 8) {
    for (int u = 0; u < width; ++u) {
      for (int b = 0; b < 3; ++b)
        ++out.codes[static_cast<std::size_t>(b)][static_cast<std::size_t>(code(row, u, bands == 1 ? 0 : b))];
      const int middle = bands / 2;
      const int step = u > 0 ? std::abs(code(row, u, middle) - code(row, u - 1, middle)) : kLargestStep + 1;
      if (step > kLargestStep) continue;
      out.steps[static_cast<std::size_t>(u % 8)].sum += step;
      ++out.steps[static_cast<std::size_t>(u % 8)].count;
    }
  }
  return out;
}

template <class Sample>
void expect_counted(int width, int bands) {
  std::mt19937 draw(static_cast<unsigned>(width * 4 + bands));
  std::vector<Sample> image(static_cast<std::size_t>(kRows * width * bands));
  int level = 128;
  for (Sample& sample : image) {
    level = std::clamp(level + static_cast<int>(draw() % 61) - 30, 0, 255);
    sample = static_cast<Sample>(sizeof(Sample) == 1 ? level : level * 256 + 77);
  }
  PixelStatistics seen;
  PixelSampler sampler(seen, width, bands, sizeof(Sample));
  const auto row_bytes = static_cast<std::ptrdiff_t>(sizeof(Sample)) * width * bands;
  const auto* first = reinterpret_cast<const std::uint8_t*>(image.data());
  sampler.add({first, row_bytes, 10});  // however they come
  sampler.add({first + 10 * row_bytes, row_bytes, kRows - 10});
  const PixelStatistics expected = by_hand(image, width, bands);
  EXPECT_EQ(seen.bits, static_cast<int>(8 * sizeof(Sample)));
  EXPECT_EQ(seen.codes, expected.codes);
  for (std::size_t phase = 0; phase < expected.steps.size(); ++phase) {
    EXPECT_EQ(seen.steps[phase].sum, expected.steps[phase].sum) << width << " " << bands << " " << phase;
    EXPECT_EQ(seen.steps[phase].count, expected.steps[phase].count) << width << " " << bands << " " << phase;
  }
}

TEST(PixelSampler, CountsEveryEighthRow) {
  for (const int width : {1, 5, 8, 16, 101}) {
    for (const int bands : {1, 3}) {
      expect_counted<std::uint8_t>(width, bands);
      expect_counted<std::uint16_t>(width, bands);
    }
  }
}

}  // namespace
}  // namespace scrapetrace::scan
