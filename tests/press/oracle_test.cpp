// Blur and skew against SciPy's image filters (scipy.ndimage.gaussian_filter and affine_transform).

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <ostream>

#include "pages.h"

namespace scrapetrace {
namespace {

using testing::even_print;
using testing::Page;

// Debian's interpreter with python3-scipy; other interpreters on the path may lack it.
constexpr const char* kPython = "/usr/bin/python3";
constexpr double kDensity = 1.1;

std::vector<double> expected_pixels(double dpi, double skew_deg, double sigma_px) {
  const auto out =
      std::filesystem::temp_directory_path() /
      ("press_oracle_" + std::to_string(getpid()) + "_" + std::to_string(static_cast<int>(dpi)) + ".bin");
  const std::string command = std::string(kPython) + " " + SCRAPETRACE_SOURCE_DIR +
                              "/tests/press/oracle.py " + out.string() + " " + std::to_string(dpi) + " " +
                              std::to_string(skew_deg) + " " + std::to_string(sigma_px) + " 0.8 " +
                              std::to_string(kDensity);
  std::vector<double> pixels;
  if (std::system(command.c_str()) != 0) {
    ADD_FAILURE() << "the SciPy comparison needs " << kPython
                  << " with python3-scipy; it failed: " << command;
    return pixels;
  }
  std::ifstream file(out, std::ios::binary);
  for (double value = 0; file.read(reinterpret_cast<char*>(&value), sizeof value);) pixels.push_back(value);
  std::filesystem::remove(out);
  return pixels;
}

struct Case {
  double dpi, skew_deg, sigma_px;
};
void PrintTo(const Case& c, std::ostream* out) {
  *out << c.dpi << " dpi skew " << c.skew_deg << " blur " << c.sigma_px << " px";
}

class Oracle : public ::testing::TestWithParam<Case> {};

// The ink's contrast is 0.74 and SciPy works on eight times finer pixels. Across, where streaks are measured,
// half pixels come close to that; down, blur acts on whole pixels, which shows at the ends of the bars.
constexpr double kAcross_linear = 0.006;
constexpr double kDown_linear = 0.02;

TEST_P(Oracle, PixelsAreThoseOfScipy) {
  const Case k = GetParam();
  ScanOptions scan = testing::sharp_scan();
  scan.dpi = k.dpi;
  scan.skew_deg = k.skew_deg;
  scan.blur_px = k.sigma_px;
  scan.bed = 0.8;
  Chart chart = testing::sheet_with({});
  for (const auto& [from, to] : {std::pair{5.0, 6.1}, {14.3, 20.0}, {30.0, 30.4}}) {
    chart.patches.push_back({{"cyan"}, {from - 0.01, to - 0.01}, {2.99, 8.99}, 1});
  }
  const Page page(testing::small_machine(), chart, {}, even_print(), scan);
  const int width = page.image.width_px;
  const int height = page.image.height_px;
  const auto expected = expected_pixels(k.dpi, k.skew_deg, k.sigma_px);
  ASSERT_EQ(expected.size(), static_cast<std::size_t>(width) * static_cast<std::size_t>(height));
  for (int v = 0; v < height; ++v) {
    // Rows that keep clear of the bars' ends, 3 mm from the sheet's middle, wherever skew takes those.
    const double from_middle_mm = std::abs(v + 0.5 - height / 2.0) * 25.4 / k.dpi;
    const bool clear = from_middle_mm < 3 - 1.5 - 20 * std::abs(std::sin(k.skew_deg * M_PI / 180));
    for (int u = 0; u < width; ++u) {
      const double want = expected[static_cast<std::size_t>(v) * static_cast<std::size_t>(width) +
                                   static_cast<std::size_t>(u)];
      ASSERT_NEAR(page.linear(u, v, 0), want, clear ? kAcross_linear : kDown_linear) << u << ", " << v;
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Press, Oracle,
                         ::testing::Values(Case{254, 0, 0}, Case{254, 0, 0.85}, Case{254, 3, 0.85},
                                           Case{508, -1.5, 1.2}, Case{127, 2, 0.85}));

}  // namespace
}  // namespace scrapetrace
