// Patches found without a chart, against the chart that the press printed.

#include "page/find_patches.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <random>

#include "page/skew.h"
#include "scan/write_image.h"
#include "support/oracle.h"
#include "support/raster_of.h"

namespace scrapetrace::page {
namespace {

using testing::bench_machine;
using testing::lies_across;
using testing::noisy_scan;
using testing::raster_of;
using testing::true_map;

using Found = std::variant<Placement, std::string>;

Found find(const PageRaster& raster, const Layout& layout) {
  const double dpi = raster.tag_dpi_across;
  const auto coarse = make_coarse_map(raster, 0.7 * dpi / 25.4);
  const auto skew = estimate_skew(coarse, {});
  BarePageOptions options{dpi, "tag", skew ? skew->angle_deg : 0, sheet_orientations(raster.transposed, {})};
  auto found = place_without_chart(raster, layout, coarse, options);
  if (auto* places = std::get_if<std::vector<Placement>>(&found)) return places->front();
  return std::get<std::string>(found);
}

std::string describe(const Patch& p) {
  std::string out = "[";
  for (const auto& ink : p.inks) out += ink + " ";
  return out + std::to_string(p.x_mm[0]) + ".." + std::to_string(p.x_mm[1]) + " x " +
         std::to_string(p.y_mm[0]) + ".." + std::to_string(p.y_mm[1]) + " at " + std::to_string(p.coverage) +
         "]";
}

bool large_enough(const Patch& p) {
  return !p.inks.empty() && p.x_mm[1] - p.x_mm[0] >= 20 && p.y_mm[1] - p.y_mm[0] >= 4;
}

// Largest distance, mm, between the corners of two patches where the raster has them.
double distance_mm(const Patch& a, const RasterFromSheet& map_a, const Patch& b, const RasterFromSheet& map_b,
                   double dpi) {
  double largest = 0;
  for (std::size_t i = 0; i < 2; ++i) {
    for (std::size_t j = 0; j < 2; ++j) {
      const double du = map_a.u(a.x_mm[i], a.y_mm[j]) - map_b.u(b.x_mm[i], b.y_mm[j]);
      const double dv = map_a.v(a.x_mm[i], a.y_mm[j]) - map_b.v(b.x_mm[i], b.y_mm[j]);
      largest = std::max(largest, 25.4 / dpi * std::max(std::abs(du), std::abs(dv)));
    }
  }
  return largest;
}

constexpr double kCorner_mm = 0.5;
constexpr double kCoverage = 0.03;
constexpr double kSkew_deg = 0.01;
constexpr double kOrigin_mm = 0.5;

// Every large patch of the chart is found once, and nothing else is.
void expect_same_patches(const Placement& found, const Chart& chart, const RasterFromSheet& truth,
                         double dpi) {
  std::vector<bool> used(found.chart.patches.size(), false);
  for (const Patch& want : chart.patches) {
    if (!large_enough(want)) continue;
    bool met = false;
    for (std::size_t k = 0; k < used.size(); ++k) {
      const Patch& got = found.chart.patches[k];
      if (used[k] || got.inks != want.inks || std::abs(got.coverage - want.coverage) > kCoverage) continue;
      if (distance_mm(got, found.map, want, truth, dpi) > kCorner_mm) continue;
      met = used[k] = true;
      break;
    }
    EXPECT_TRUE(met) << "missing " << describe(want);
  }
  for (std::size_t k = 0; k < used.size(); ++k) {
    EXPECT_TRUE(used[k] || found.chart.patches[k].inks.empty())
        << "extra " << describe(found.chart.patches[k]);
  }
}

struct Scene {
  Layout layout = bench_machine();
  Chart chart = testing::bench_chart();
  Causes causes;
  PrintOptions print;
  ScanOptions scan = noisy_scan(7);

  [[nodiscard]] PageRaster raster() const { return raster_of(layout, chart, causes, print, scan); }
  [[nodiscard]] RasterFromSheet truth() const { return true_map(chart, print, scan); }
};

std::optional<Placement> expect_found(const Scene& scene) {
  const Found found = find(scene.raster(), scene.layout);
  if (const auto* why = std::get_if<std::string>(&found)) {
    ADD_FAILURE() << *why;
    return std::nullopt;
  }
  const Placement& place = std::get<Placement>(found);
  const RasterFromSheet truth = scene.truth();
  expect_same_patches(place, scene.chart, truth, scene.scan.dpi);
  const bool across = lies_across(scene.scan);
  EXPECT_NEAR(orientation_of(place.map, across).skew_deg, orientation_of(truth, across).skew_deg, kSkew_deg);
  EXPECT_NEAR(place.blur_px, testing::seen_blur_px(scene.scan), 0.25);
  EXPECT_GT(place.marks, 100);
  return place;
}

void expect_origin(const Placement& place, const Scene& scene) {
  const RasterFromSheet truth = scene.truth();
  EXPECT_EQ(place.datum, Datum::sheet_edges);
  EXPECT_DOUBLE_EQ(place.x_sigma_mm, 1.5);
  EXPECT_NEAR(place.map.u(0, 0), truth.u(0, 0), kOrigin_mm * scene.scan.dpi / 25.4);
  EXPECT_NEAR(place.map.v(0, 0), truth.v(0, 0), kOrigin_mm * scene.scan.dpi / 25.4);
  EXPECT_NEAR(place.chart.sheet_mm[0], scene.chart.sheet_mm[0], kOrigin_mm);
  EXPECT_NEAR(place.chart.sheet_mm[1], scene.chart.sheet_mm[1], kOrigin_mm);
}

// Abutting solids, overprints of three, tints and a narrow band, over inks of the press's usual four.
Scene crowded() {
  Scene scene;
  scene.layout.inks.push_back({"black", {1.35, 1.38, 1.40}});
  scene.chart.name = "crowded";
  scene.chart.patches = {{{"cyan"}, {6, 50}, {8, 24}, 1},
                         {{"magenta"}, {50, 94}, {8, 24}, 1},
                         {{"yellow"}, {6, 50}, {24, 40}, 1},
                         {{"black"}, {50, 94}, {24, 40}, 1},
                         {{"cyan", "yellow"}, {6, 94}, {44, 56}, 1},
                         {{"cyan", "magenta", "yellow"}, {6, 94}, {60, 72}, 1},
                         {{"magenta"}, {6, 94}, {75, 79.5}, 1},
                         {{"cyan"}, {6, 30}, {84, 98}, 0.5},
                         {{"black"}, {36, 60}, {84, 98}, 0.3},
                         {{"yellow"}, {66, 94}, {84, 98}, 0.6},
                         {{"magenta", "yellow"}, {6, 94}, {101, 112}, 1}};
  return scene;
}

// A totally scraped band, ramps of partial loss, a lost jet, and residue that touched half the sheet only.
Causes many_faults() {
  Causes causes;
  causes.residues = {{1, false, 40, 5, 0.4, {}, "", {}, ""},
                     {0, true, 72, 0.6, 0.9, {}, "", {}, ""},
                     {0, false, 85, 2, 0.7, {30, 66}, "", {}, ""}};
  causes.scratches = {{52, 12, 1.0, {}}, {96, 0.3, 0.8, {}}};
  causes.jets = {{0, 0, 100, 1}};
  causes.lines = {{0.3, 2, 0.9}};
  return causes;
}

TEST(FindPatches, CleanPage) {
  for (const double skew : {0.0, 1.0, -1.0, -0.37, 0.2}) {
    Scene scene;
    scene.scan.skew_deg = skew;
    SCOPED_TRACE(skew);
    if (const auto place = expect_found(scene)) expect_origin(*place, scene);
  }
}

TEST(FindPatches, CrowdedPage) {
  for (const double skew : {0.0, 1.0, -0.37, 0.15}) {
    Scene scene = crowded();
    scene.scan.skew_deg = skew;
    SCOPED_TRACE(skew);
    if (const auto place = expect_found(scene)) expect_origin(*place, scene);
  }
}

TEST(FindPatches, StreaksDoNotSplitPatchesOrBendTheSkew) {
  for (const double skew : {0.0, 0.1, 0.8, -0.4, -1.0}) {
    Scene scene;
    scene.causes = many_faults();
    scene.scan.skew_deg = skew;
    SCOPED_TRACE(skew);
    if (const auto place = expect_found(scene)) expect_origin(*place, scene);
  }
}

TEST(FindPatches, FifteenMillimetresScrapedBare) {
  Scene scene;
  scene.causes.scratches = {{50, 14.8, 1.0, {}}};
  const auto place = expect_found(scene);
  ASSERT_TRUE(place);
  bool told = false;
  for (const auto& remark : place->remarks) told = told || remark.find("bare gaps") != std::string::npos;
  EXPECT_TRUE(told);
}

TEST(FindPatches, WithoutBedTheImageIsTheDatum) {
  for (const double margin : {0.0, -3.0}) {
    Scene scene;
    scene.scan.margin_mm = margin;
    SCOPED_TRACE(margin);
    const auto place = expect_found(scene);
    ASSERT_TRUE(place);
    EXPECT_EQ(place->datum, Datum::image_edges);
    EXPECT_DOUBLE_EQ(place->x_sigma_mm, 3.0);
    EXPECT_NEAR(place->map.u(0, 0), 0, 1);
    EXPECT_NEAR(place->map.v(0, 0), 0, 1);
  }
}

TEST(FindPatches, BedOfTheColourOfPaperIsNoSheetEdge) {
  Scene scene;
  scene.scan.bed = scene.print.paper_white;
  const auto place = expect_found(scene);
  ASSERT_TRUE(place);
  EXPECT_EQ(place->datum, Datum::image_edges);
}

TEST(FindPatches, DarkBedAndWideBed) {
  for (const double margin : {2.0, 40.0}) {
    for (const double bed : {0.06, 0.92}) {
      Scene scene;
      scene.scan.bed = bed;
      scene.scan.margin_mm = margin;
      SCOPED_TRACE(margin);
      SCOPED_TRACE(bed);
      if (const auto place = expect_found(scene)) expect_origin(*place, scene);
    }
  }
}

TEST(FindPatches, WedgesOfBedAreEnough) {
  Scene scene;
  scene.scan.margin_mm = 0;
  scene.scan.skew_deg = 2;
  if (const auto place = expect_found(scene)) expect_origin(*place, scene);
}

TEST(FindPatches, PrintOffItsPlaceIsSeenWhereItIs) {
  Scene scene;
  scene.print.shift_x_mm = 1.7;
  scene.print.shift_y_mm = -1.1;
  const Found found = find(scene.raster(), scene.layout);
  const auto* place = std::get_if<Placement>(&found);
  ASSERT_NE(place, nullptr);
  expect_same_patches(*place, scene.chart, scene.truth(), scene.scan.dpi);
  EXPECT_NEAR(place->chart.patches[0].x_mm[0], scene.chart.patches[0].x_mm[0] + 1.7, kOrigin_mm);
}

TEST(FindPatches, InksWeakerAndStrongerThanTheLayoutSays) {
  for (const double strength : {0.8, 1.2}) {
    Scene scene = crowded();
    std::erase_if(scene.chart.patches, [](const Patch& p) { return p.coverage < 1; });
    const Layout nominal = scene.layout;
    for (Ink& ink : scene.layout.inks) {
      for (double& d : ink.solid_density_rgb) d *= strength;
    }
    const PageRaster raster = scene.raster();
    const Found found = find(raster, nominal);
    SCOPED_TRACE(strength);
    const auto* place = std::get_if<Placement>(&found);
    ASSERT_NE(place, nullptr);
    expect_same_patches(*place, scene.chart, scene.truth(), scene.scan.dpi);
  }
}

TEST(FindPatches, GreyScanTakesSingleInksByDepth) {
  Scene scene;
  scene.layout.inks.push_back({"black", {1.35, 1.38, 1.40}});
  scene.chart.patches = {{{"cyan"}, {8, 92}, {10, 30}, 1},
                         {{"magenta"}, {8, 92}, {34, 54}, 1},
                         {{"yellow"}, {8, 92}, {58, 74}, 1},
                         {{"black"}, {8, 92}, {78, 100}, 1}};
  scene.scan.grey = true;
  const auto place = expect_found(scene);
  ASSERT_TRUE(place);
  bool told = false;
  for (const auto& remark : place->remarks) told = told || remark.find("grey") != std::string::npos;
  EXPECT_TRUE(told);
}

TEST(FindPatches, RasterReadTransposedIsNoMirrorImage) {
  Scene scene;
  scene.scan.turn_deg = 270;  // the lead edge at the image's left
  scene.scan.skew_deg = 0.5;
  const auto place = expect_found(scene);
  ASSERT_TRUE(place);
  expect_origin(*place, scene);
  const auto orientation = orientation_of(place->map, true);
  EXPECT_EQ(orientation.turn_deg, 90);
  EXPECT_FALSE(orientation.face_mirrored);
}

TEST(FindPatches, ColoursOfNoInkAreLeftOut) {
  Scene scene;
  Layout printed = scene.layout;
  printed.inks.push_back({"violet", {0.5, 1.0, 0.1}});
  scene.chart.patches[2].inks = {"violet"};
  const Layout known = scene.layout;
  scene.layout = printed;
  const Found found = find(scene.raster(), known);
  const auto* place = std::get_if<Placement>(&found);
  ASSERT_NE(place, nullptr);
  Chart expected = scene.chart;
  expected.patches.erase(expected.patches.begin() + 2);
  expect_same_patches(*place, expected, scene.truth(), scene.scan.dpi);
}

// What is printed beside the patches must not pass for bare paper.
TEST(FindPatches, OtherPrintIsFencedOff) {
  Scene scene;
  const auto place = expect_found(scene);
  ASSERT_TRUE(place);
  int fences = 0;
  for (const Patch& p : place->chart.patches) {
    if (!p.inks.empty()) continue;
    ++fences;
    EXPECT_NEAR(p.y_mm[0], 106, 1.5);
    EXPECT_NEAR(p.y_mm[1], 114, 1.5);
  }
  EXPECT_EQ(fences, 1);
}

TEST(FindPatches, HazeIsNeitherPatchNorOtherPrint) {
  Scene scene;
  scene.chart.patches.pop_back();  // the mark
  scene.causes.hazes = {{60, 30, 0.10, {}}};
  const auto place = expect_found(scene);
  ASSERT_TRUE(place);
  EXPECT_EQ(place->chart.patches.size(), scene.chart.patches.size());
}

// The rectangles of an upright page are those of scikit-image's connected components (skimage.measure.label).
TEST(FindPatches, RectanglesAreThoseOfScikitImage) {
  Scene scene;
  const auto image = simulate_scan(scene.layout, scene.chart, scene.causes, scene.print, scene.scan);
  ASSERT_TRUE(image.ok());
  const scan::Pixels pixels{image->width_px, image->height_px, image->channels, image->bits, image->pixels};
  const std::string name = ::testing::TempDir() + "find_patches_" + std::to_string(getpid()) + ".png";
  scan::ImageOptions options;
  options.dpi = scene.scan.dpi;
  ASSERT_TRUE(scan::write_image(pixels, name, options).ok());
  const auto theirs = testing::ask_oracle("page/oracle_regions.py", name);
  std::filesystem::remove(name);
  const Found found = find(raster_of(*image), scene.layout);
  const auto* place = std::get_if<Placement>(&found);
  ASSERT_NE(place, nullptr);
  std::vector<double> ours;
  for (const Patch& p : place->chart.patches) {
    if (p.inks.empty()) continue;
    for (std::size_t end = 0; end < 2; ++end) {
      ours.push_back(place->map.u(p.x_mm[end], p.y_mm[end]));
      ours.push_back(place->map.v(p.x_mm[end], p.y_mm[end]));
    }
  }
  ASSERT_EQ(ours.size(), theirs.size());
  constexpr double kPixels = 1.5;  // whole pixels, and a threshold that is not half-way for every ink
  for (std::size_t i = 0; i < ours.size(); ++i) EXPECT_NEAR(ours[i], theirs[i], kPixels) << i;
}

// A page of paper that something is drawn on, in linear light.
PageRaster blank_page(double width_mm, double height_mm) {
  constexpr double kDpi = 300;
  PageRaster page;
  page.width_px = static_cast<int>(width_mm * kDpi / 25.4);
  page.height_px = static_cast<int>(height_mm * kDpi / 25.4);
  page.rows_per_block = 8;
  page.tag_dpi_across = page.tag_dpi_along = kDpi;
  page.linear.own().assign(
      static_cast<std::size_t>(page.blocks()) * 3 * static_cast<std::size_t>(page.width_px), 55000);
  return page;
}

template <class Ink>
void draw(PageRaster& page, const Ink& signal) {
  for (int b = 0; b < page.blocks(); ++b) {
    for (int c = 0; c < 3; ++c) {
      for (int u = 0; u < page.width_px; ++u) {
        const double x = (u + 0.5) * 25.4 / page.tag_dpi_across;
        const double y = (b + 0.5) * page.rows_per_block * 25.4 / page.tag_dpi_across;
        auto& value = page.linear.own()[(static_cast<std::size_t>(b) * 3 + static_cast<std::size_t>(c)) *
                                            static_cast<std::size_t>(page.width_px) +
                                        static_cast<std::size_t>(u)];
        value = static_cast<std::uint16_t>(std::clamp(value * signal(x, y, c), 0.0, 65535.0));
      }
    }
  }
}

void expect_nothing(const PageRaster& page) {
  const Found found = find(page, bench_machine());
  const auto* why = std::get_if<std::string>(&found);
  ASSERT_NE(why, nullptr) << "found " << describe(std::get<Placement>(found).chart.patches[0]);
  EXPECT_NE(why->find("give the chart"), std::string::npos) << *why;
}

TEST(FindPatches, BlankPageHasNone) {
  expect_nothing(blank_page(100, 140));
}

TEST(FindPatches, TextHasNone) {
  for (unsigned seed = 1; seed <= 3; ++seed) {
    PageRaster page = blank_page(100, 140);
    std::mt19937 random(seed);
    const auto pick = [&](double low, double high) {
      return std::uniform_real_distribution<double>(low, high)(random);
    };
    struct Box {
      double x0, x1, y0, y1;
    };
    std::vector<Box> boxes;
    for (double y = 12; y < 125; y += 5) {
      for (double x = 12; x < 82;) {
        const double w = pick(0.5, 6);
        boxes.push_back({x, x + w, y + pick(0, 1), y + pick(1.5, 3.5)});
        x += w + pick(0.5, 2);
      }
    }
    draw(page, [&](double x, double y, int) {
      for (const Box& b : boxes) {
        if (x >= b.x0 && x < b.x1 && y >= b.y0 && y < b.y1) return 0.05;
      }
      return 1.0;
    });
    SCOPED_TRACE(seed);
    expect_nothing(page);
  }
}

// Smooth colours that wander everywhere, with bare paper around them as a print has it.
TEST(FindPatches, PhotographHasNone) {
  for (unsigned seed = 1; seed <= 8; ++seed) {
    PageRaster page = blank_page(150, 200);
    std::mt19937 random(seed);
    const auto pick = [&](double low, double high) {
      return std::uniform_real_distribution<double>(low, high)(random);
    };
    struct Wave {
      double kx, ky, phase, depth;
    };
    std::array<std::vector<Wave>, 3> waves;
    for (auto& channel : waves) {
      for (int n = 0; n < 8; ++n)
        channel.push_back({pick(-0.25, 0.25), pick(-0.25, 0.25), pick(0, 6.28), pick(0.02, 0.12)});
    }
    draw(page, [&](double x, double y, int c) {
      if (x < 12 || x > 138 || y < 12 || y > 188) return 1.0;
      double density = 0.5;
      for (const Wave& w : waves[static_cast<std::size_t>(c)])
        density += w.depth * std::sin(w.kx * x + w.ky * y + w.phase);
      return std::pow(10.0, -density);
    });
    SCOPED_TRACE(seed);
    expect_nothing(page);
  }
}

}  // namespace
}  // namespace scrapetrace::page
