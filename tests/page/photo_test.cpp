// Photos and bent pages, from what the press and its camera made of them.

#include "scrapetrace/photo.h"

#include <gtest/gtest.h>

#include <ostream>

#include "page/as_printed.h"
#include "page/bend.h"
#include "page/chart_tags.h"
#include "page/place_by_tags.h"
#include "page/tagged.h"

namespace scrapetrace {
namespace {

using testing::bench_machine;
using testing::noisy_scan;
using testing::phone;
using testing::photo_of;
using testing::raster_of;
using testing::tagged_chart;

struct View {
  double tilt_towards_deg, roll_deg, k1, k2;
};
void PrintTo(const View& view, std::ostream* out) {
  *out << "tilt towards " << view.tilt_towards_deg << " roll " << view.roll_deg << " k1 " << view.k1 << " k2 "
       << view.k2;
}
class Photos : public ::testing::TestWithParam<View> {};

// The map meets the camera's everywhere between the tags, lens included, within a twentieth of a millimetre
// and a few of its own sigmas.
TEST_P(Photos, AreMappedWhereTheCameraSawTheSheet) {
  CameraOptions options = phone();
  options.tilt_towards_deg = GetParam().tilt_towards_deg;
  options.roll_deg = GetParam().roll_deg;
  options.k1 = GetParam().k1;
  options.k2 = GetParam().k2;
  const Chart chart = tagged_chart();
  const auto map = photo_map(bench_machine(), chart, photo_of(bench_machine(), chart, options));
  ASSERT_TRUE(map);
  EXPECT_EQ(map->tags, 10);
  const press::Camera camera(chart.sheet_mm, options);
  double worst = 0;
  for (double x = 6; x <= 94; x += 8) {
    for (double y = 6; y <= 114; y += 9) {
      const auto at = map->photo_px(x, y);
      const auto seen = camera.sheet_from_picture({at[0], at[1]});
      worst = std::max(worst, std::abs(seen.x - x));
    }
  }
  EXPECT_LT(worst, 0.05);
  EXPECT_LT(worst, 5 * map->sigma_mm);
  EXPECT_LT(map->sigma_mm, 0.03);
}

INSTANTIATE_TEST_SUITE_P(Views, Photos,
                         ::testing::Values(View{35, 0, 0, 0}, View{-70, 12, 0, 0}, View{120, 185, 0, 0},
                                           View{200, -7, -0.06, 0.015}));

TEST(PhotoMap, NoneForAScan) {
  const Chart chart = tagged_chart();
  for (const double skew : {0.0, 5.0}) {
    ScanOptions scan = noisy_scan(3);
    scan.skew_deg = skew;
    EXPECT_FALSE(photo_map(bench_machine(), chart, raster_of(bench_machine(), chart, {}, {}, scan)));
  }
}

// Every way round: turned, mirrored, both.
TEST(SeeTags, TellTheWayRound) {
  const Chart chart = tagged_chart();
  for (const bool mirrored : {false, true}) {
    for (const int turn : {0, 90, 180, 270}) {
      ScanOptions scan = noisy_scan(5);
      scan.turn_deg = turn;
      scan.face_mirrored = mirrored;
      const auto raster = raster_of(bench_machine(), chart, {}, {}, scan);
      const auto seen = page::detect_chart_tags(bench_machine(), chart, raster);
      EXPECT_EQ(seen.tags.size(), chart.marks.size());
      EXPECT_EQ(seen.mirrored, mirrored);
      const auto placed = page::place_by_tags(raster, seen);
      ASSERT_TRUE(placed);
      const auto truth = testing::true_map(chart, {}, scan);
      for (const double x : {10.0, 90.0}) {
        for (const double y : {10.0, 110.0}) {
          const double u = truth.u(x, y);
          const double v = truth.v(x, y);
          EXPECT_NEAR(placed->sheet_from_raster.x(u, v), x, 0.05) << turn << mirrored;
          EXPECT_NEAR(placed->sheet_from_raster.y(u, v), y, 0.08) << turn << mirrored;
        }
      }
    }
  }
}

TEST(SeeTags, KnowStrangersAndStrays) {
  const Chart chart = tagged_chart();
  const auto raster = raster_of(bench_machine(), chart, {}, {}, noisy_scan(6));
  Chart other = chart;
  for (Mark& mark : other.marks) mark.id += 100;
  const auto strange = page::detect_chart_tags(bench_machine(), other, raster);
  EXPECT_TRUE(strange.tags.empty());
  EXPECT_EQ(strange.strangers.size(), chart.marks.size());
  Chart swapped = chart;  // one tag where the chart has another
  std::swap(swapped.marks[0].id, swapped.marks[3].id);
  const auto kept =
      page::without_outliers(page::detect_chart_tags(bench_machine(), swapped, raster).tags, 10);
  EXPECT_EQ(kept.size(), chart.marks.size() - 2);
}

TEST(Bend, FollowsMarksAndGoesBackToNothing) {
  std::vector<page::BendPoint> points;
  for (double x = 0; x <= 300; x += 60) points.push_back({{x, 0}, 0.15 * std::sin(x / 60)});
  const page::Bend bend(points);
  EXPECT_GT(bend.amplitude_mm(), 0.05);
  for (const auto& point : points) EXPECT_NEAR(bend.dx_mm(point.at_mm), point.dx_mm, 0.03);
  EXPECT_NEAR(bend.dx_mm({150, 2000}), 0, 1e-6);
  EXPECT_NEAR(bend.sigma_mm({150, 2000}), bend.amplitude_mm(), 1e-6);
  EXPECT_LT(bend.sigma_mm({120, 0}), 0.03);
  for (auto& point : points) point.dx_mm = 0.015 * (point.at_mm[0] > 100 ? 1 : -1);
  EXPECT_EQ(page::Bend(points).amplitude_mm(), 0);
}

// Mean over all places, in parts of full scale.
double difference(const PageRaster& a, const PageRaster& b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.linear.size(); ++i)
    sum += std::abs(static_cast<double>(a.linear[i]) - b.linear[i]) / 65535;
  return sum / static_cast<double>(a.linear.size());
}

// A scanner whose line is stretched by up to 0.15 mm in the middle; its image is bent row by row.
TEST(StraightenPage, UndoesAScannersBend) {
  constexpr double kBend_mm = 0.15;
  const Chart chart = tagged_chart();
  const ScanOptions scan = noisy_scan(8, 600);
  auto image = simulate_scan(bench_machine(), chart, {}, {}, scan).value();
  const double px = scan.dpi / 25.4;
  const auto shift_px = [&](double u) { return kBend_mm * px * std::sin(M_PI * u / image.width_px); };
  const auto straight = image.pixels;
  for (int v = 0; v < image.height_px; ++v) {
    for (int u = 0; u < image.width_px; ++u) {
      const double from = std::clamp(u - shift_px(u + 0.5), 0.0, image.width_px - 1.001);
      const auto i = static_cast<std::size_t>(from);
      for (std::size_t c = 0; c < 3; ++c) {
        const auto row = static_cast<std::size_t>(v) * static_cast<std::size_t>(image.width_px);
        const double t = from - static_cast<double>(i);
        image.pixels[3 * (row + static_cast<std::size_t>(u)) + c] = static_cast<std::uint8_t>(
            std::lround((1 - t) * straight[3 * (row + i) + c] + t * straight[3 * (row + i + 1) + c]));
      }
    }
  }
  const auto bent = raster_of(image);
  EXPECT_FALSE(photo_map(bench_machine(), chart, bent));
  const auto out = straighten_page(bench_machine(), chart, bent);
  ASSERT_TRUE(out);
  ASSERT_FALSE(out->bend_sigma_mm.empty());
  EXPECT_LT(*std::max_element(out->bend_sigma_mm.begin(), out->bend_sigma_mm.end()), 0.1);
  const auto never_bent = raster_of(bench_machine(), chart, {}, {}, scan);
  EXPECT_FALSE(straighten_page(bench_machine(), chart, never_bent));
  EXPECT_LT(difference(*out, never_bent), 0.5 * difference(bent, never_bent));
}

TEST(AsPrinted, WordsCoverTheRowsOfTags) {
  const Chart chart = tagged_chart();
  const Chart with = page::as_printed(bench_machine(), chart);
  ASSERT_EQ(with.patches.size(), chart.patches.size() + 2);
  EXPECT_TRUE(with.patches.back().inks.empty());
  EXPECT_DOUBLE_EQ(with.patches.back().y_mm[0], 113 - 4.5);
  EXPECT_DOUBLE_EQ(with.patches.back().x_mm[0], 4);
  Chart beside = chart;  // a tag beside a patch keeps the patch
  beside.marks = {{"tag", 1, {50, 50}, 6}};
  beside.patches = {{{"cyan"}, {4, 40}, {40, 60}, 1}};
  const auto words = page::as_printed(bench_machine(), beside).patches.back();
  EXPECT_DOUBLE_EQ(words.x_mm[0], 45.5);
}

}  // namespace
}  // namespace scrapetrace
