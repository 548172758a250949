// The same sheet scanned and photographed: the same first place, nearly the same millimetre.

#include <gtest/gtest.h>

#include "locate/pages.h"
#include "page/tagged.h"
#include "scan/flatten_page.h"
#include "scan/read_page.h"
#include "scan/write_image.h"

namespace scrapetrace {
namespace {

constexpr double kScan_mm = 0.25;
constexpr double kPhoto_mm = 0.6;

// Through a file, as the tool reads it.
Result<PageRaster> taken(const Layout& layout, const Chart& chart, const Causes& causes,
                         const CameraOptions& camera) {
  ScanOptions scan;
  scan.scan_seed = 21;
  const auto image = simulate_photo(layout, chart, causes, {}, scan, camera).value();
  const std::string file = ::testing::TempDir() + "photo_" + std::to_string(camera.tilt_towards_deg) +
                           (layout.transfer.mirrored ? "m.png" : ".png");
  scan::ImageOptions options;
  options.resolution_tags = false;
  EXPECT_TRUE(scan::write_image({image.width_px, image.height_px, 3, 8, image.pixels}, file, options));
  scan::ReadOptions read;
  read.sheet_mm = chart.sheet_mm;
  read.overview = true;
  const auto page = scan::read_page(file, read);
  EXPECT_TRUE(page);
  const auto map = photo_map(layout, chart, *page);
  EXPECT_TRUE(map) << "the photo is not taken for one";
  if (!map) return page;
  return scan::flatten_page(file, *map, {chart.sheet_mm});
}

class Photographed : public ::testing::TestWithParam<bool> {};

TEST_P(Photographed, SheetsGiveTheScansAnswer) {
  Layout layout = testing::bench_machine(GetParam());
  layout.carriages[1].travel = -1;
  layout.heads[1].first_jet_px = 976;
  const Chart chart = testing::tagged_chart();
  const Causes causes = testing::only(testing::residue_at(layout, 0, Side::right, 2.0, 1.2, 0.25));
  const double truth_mm = causes.residues[0].x_mm + causes.residues[0].width_mm / 2;
  const auto scanned = locate(
      layout, &chart, {{"scan", testing::raster_of(layout, chart, causes, {}, testing::noisy_scan(20))}}, {});
  ASSERT_FALSE(scanned.findings.targets.empty());
  const Target& first = scanned.findings.targets.front();
  EXPECT_EQ(scanned.findings.scans[0].registration->datum, Datum::tags);
  EXPECT_NEAR(first.x_drum_mm, truth_mm, kScan_mm);
  for (const double towards : {35.0, -70.0}) {
    CameraOptions camera = testing::phone();
    camera.tilt_towards_deg = towards;
    camera.roll_deg = towards / 5;
    const auto seen = locate(layout, &chart, {{"photo", taken(layout, chart, causes, camera)}}, {});
    ASSERT_FALSE(seen.findings.targets.empty()) << towards;
    const Target& target = seen.findings.targets.front();
    EXPECT_EQ(target.head, first.head) << towards;
    EXPECT_EQ(target.side, first.side) << towards;
    EXPECT_EQ(target.surface, first.surface) << towards;
    EXPECT_NEAR(target.x_drum_mm, truth_mm, kPhoto_mm) << towards;
    const auto& registration = *seen.findings.scans[0].registration;
    EXPECT_EQ(registration.datum, Datum::tags);
    EXPECT_EQ(registration.errors_across.size(), 17U);
    EXPECT_LT(registration.predicted_error_mm, 0.1);
  }
}

INSTANTIATE_TEST_SUITE_P(Machines, Photographed, ::testing::Bool());

// A page that bears another chart's tags is refused, by name of what it shows.
TEST(Tags, OfAnotherPageAreRefused) {
  const Layout layout = testing::bench_machine();
  const Chart chart = testing::tagged_chart();
  Chart other = chart;
  for (Mark& mark : other.marks) mark.id += 100;
  const auto found = locate(
      layout, &other, {{"scan", testing::raster_of(layout, chart, {}, {}, testing::noisy_scan(2))}}, {});
  ASSERT_FALSE(found.findings.scans[0].analysed());
  EXPECT_NE(found.findings.scans[0].reasons[0].find("20, 21, 22, 23"), std::string::npos)
      << found.findings.scans[0].reasons[0];
}

}  // namespace
}  // namespace scrapetrace
