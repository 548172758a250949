// Skew of printed pages: against the angle the press was asked for, and against scikit-image on the same
// file.

#include "page/skew.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>

#include "page/placed.h"
#include "scan/write_image.h"
#include "support/oracle.h"

namespace scrapetrace::page {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::noisy_scan;
using testing::raster_of;

// One step of the search. Patch edges take over from there; they are looked for within 2 mm, which on this
// page leaves room for ten times as much.
constexpr double kSkewError_deg = 0.1;

std::optional<Skew> skew_of(const PageRaster& raster) {
  return estimate_skew(make_coarse_map(raster, testing::kCoarseCell_mm * raster.tag_dpi_across / 25.4), {});
}

TEST(Skew, IsThatOfThePress) {
  std::uint64_t seed = 1;
  for (const double skew_deg : {-2.6, -1.0, -0.37, -0.05, 0.0, 0.12, 0.5, 1.33, 2.2}) {
    ScanOptions scan = noisy_scan(seed++);
    scan.skew_deg = skew_deg;
    const auto skew = skew_of(raster_of(bench_machine(), bench_chart(), {}, {}, scan));
    ASSERT_TRUE(skew);
    EXPECT_NEAR(skew->angle_deg, skew_deg, kSkewError_deg);
    EXPECT_GT(skew->edges, 500);
  }
}

TEST(Skew, DoesNotDependOnResolution) {
  for (const double dpi : {150.0, 400.0}) {
    ScanOptions scan = noisy_scan(3, dpi);
    scan.skew_deg = -0.8;
    const auto skew = skew_of(raster_of(bench_machine(), bench_chart(), {}, {}, scan));
    ASSERT_TRUE(skew);
    EXPECT_NEAR(skew->angle_deg, -0.8, kSkewError_deg) << dpi;
  }
}

// Nothing but paper in view: no angle. With the sheet's edges in view against a brighter bed: theirs.
TEST(Skew, OfABlankPageIsThatOfItsEdgesOrUnknown) {
  Chart blank = bench_chart();
  blank.patches.clear();
  ScanOptions scan = noisy_scan(2);
  scan.skew_deg = 0.6;
  scan.margin_mm = -3;
  EXPECT_FALSE(skew_of(raster_of(bench_machine(), blank, {}, {}, scan)));
  scan.margin_mm = 4;
  scan.bed = 0.99;
  const auto edges = skew_of(raster_of(bench_machine(), blank, {}, {}, scan));
  ASSERT_TRUE(edges);
  EXPECT_NEAR(edges->angle_deg, 0.6, kSkewError_deg);
}

// Moments over a whole band are good to a hundredth of a degree; the rest is the search's own.
constexpr double kOracleError_deg = kSkewError_deg + 0.01;

TEST(Skew, AgreesWithScikitImage) {
  const auto folder = std::filesystem::temp_directory_path() / ("skew_test_" + std::to_string(getpid()));
  std::filesystem::create_directories(folder);
  std::vector<double> ours;
  std::string names;
  for (const double skew_deg : {-1.7, -0.4, 0.3, 0.9, 2.4}) {
    ScanOptions scan = noisy_scan(static_cast<std::uint64_t>(10 + skew_deg * 10));
    scan.skew_deg = skew_deg;
    const auto image = simulate_scan(bench_machine(), bench_chart(), {}, {}, scan);
    ASSERT_TRUE(image.ok());
    const auto skew = skew_of(raster_of(*image));
    ASSERT_TRUE(skew);
    ours.push_back(skew->angle_deg);
    const std::string name = (folder / (std::to_string(ours.size()) + ".png")).string();
    scan::ImageOptions options;
    options.dpi = scan.dpi;
    const scan::Pixels pixels{image->width_px, image->height_px, image->channels, image->bits, image->pixels};
    ASSERT_TRUE(scan::write_image(pixels, name, options).ok());
    names += " " + name;
  }
  const auto theirs = testing::ask_oracle("page/oracle.py", names);
  std::filesystem::remove_all(folder);
  ASSERT_EQ(theirs.size(), ours.size());
  for (std::size_t i = 0; i < ours.size(); ++i) EXPECT_NEAR(ours[i], theirs[i], kOracleError_deg) << i;
}

}  // namespace
}  // namespace scrapetrace::page
