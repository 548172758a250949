// Sums of light against those taken code by code, whichever way this processor takes them.

#include "scan/light_table.h"

#include <gtest/gtest.h>

#include <random>

namespace scrapetrace::scan {
namespace {

// More than 256 rows at once are never added up by planes (light_planes.h).
TEST(LightTable, AddsUpWhateverComes) {
  std::mt19937 random(11);
  const LightTable table(1);
  for (const int count : {1, 2, 3, 7, 8, 16, 17, 64, 255, 256, 257, 300}) {
    for (const std::size_t samples : {1U, 2U, 31U, 63U, 64U, 65U, 200U, 1023U, 1025U}) {
      const std::size_t stride = samples + 5;
      std::vector<std::uint8_t> codes(stride * static_cast<std::size_t>(count));
      for (auto& code : codes) code = static_cast<std::uint8_t>(count == 256 ? 255 : random());
      std::vector<std::uint32_t> sums(samples + 1, 7);
      std::vector<std::uint32_t> expected = sums;
      for (std::size_t r = 0; r < static_cast<std::size_t>(count); ++r) {
        for (std::size_t i = 0; i < samples; ++i) expected[i] += table.of(codes[r * stride + i]);
      }
      table.add<std::uint8_t>({codes.data(), static_cast<std::ptrdiff_t>(stride), count}, samples,
                              sums.data());
      EXPECT_EQ(sums, expected) << count << " rows of " << samples;
    }
  }
}

}  // namespace
}  // namespace scrapetrace::scan
