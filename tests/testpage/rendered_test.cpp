// The PDF as another program draws it (pdftoppm of poppler-utils): tags and patches lie where the chart says,
// to 0.05 mm. The page in pixels and the paper rulers likewise.

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "base/srgb.h"
#include "tags/find_tags.h"
#include "testpage/machines.h"
#include "testpage/strip.h"

namespace scrapetrace::testpage {
namespace {

using testing::kMachines;
using testing::Machine;
using testing::page_of;

constexpr double kExact_mm = 0.05;

RgbImage read_ppm(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::string magic;
  RgbImage image;
  int most = 0;
  file >> magic >> image.width_px >> image.height_px >> most;
  file.get();
  EXPECT_EQ(magic, "P6") << path;
  image.rgb.resize(static_cast<std::size_t>(image.width_px) * static_cast<std::size_t>(image.height_px) * 3);
  file.read(reinterpret_cast<char*>(image.rgb.data()), static_cast<std::streamsize>(image.rgb.size()));
  EXPECT_TRUE(file.good()) << path;
  return image;
}

std::vector<RgbImage> render(const std::string& pdf, int dpi) {
  std::string name = ::testing::UnitTest::GetInstance()->current_test_info()->name();
  std::replace(name.begin(), name.end(), '/', '_');
  name = ::testing::TempDir() + "rendered_" + std::to_string(dpi) + "_" + name;
  std::filesystem::create_directories(name);
  std::ofstream(name + "/page.pdf", std::ios::binary) << pdf;
  const std::string command =
      "pdftoppm -r " + std::to_string(dpi) + " '" + name + "/page.pdf' '" + name + "/page'";
  EXPECT_EQ(std::system(command.c_str()), 0) << command;
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::directory_iterator(name)) {
    if (entry.path().extension() == ".ppm") files.push_back(entry.path().string());
  }
  std::sort(files.begin(), files.end());
  std::vector<RgbImage> pages;
  for (const auto& file : files) pages.push_back(read_ppm(file));
  std::filesystem::remove_all(name);
  return pages;
}

std::vector<std::uint8_t> green_of(const RgbImage& image) {
  std::vector<std::uint8_t> out;
  for (std::size_t i = 1; i < image.rgb.size(); i += 3) out.push_back(image.rgb[i]);
  return out;
}

void expect_tags(const RgbImage& image, const Chart& chart, double dpi) {
  const auto green = green_of(image);
  const auto seen = tags::find_tags({image.width_px, image.height_px, green});
  ASSERT_EQ(seen.size(), chart.marks.size());
  for (const auto& tag : seen) {
    const auto mark =
        std::find_if(chart.marks.begin(), chart.marks.end(), [&](const Mark& m) { return m.id == tag.id; });
    ASSERT_NE(mark, chart.marks.end()) << tag.id;
    constexpr std::array<std::array<double, 2>, 4> kCorner{{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}};
    for (std::size_t c = 0; c < 4; ++c) {
      for (std::size_t k = 0; k < 2; ++k) {
        const double at_mm = mark->center_mm[k] + kCorner[c][k] * mark->size_mm / 2;
        EXPECT_NEAR(tag.corners_px[c][k] * 25.4 / dpi, at_mm, kExact_mm) << "tag " << tag.id;
      }
    }
  }
}

// Length of ink along a line of pixels through a patch's middle, up to 3 mm beyond its ends: where it begins
// and ends, from the colour's share of each pixel.
std::array<double, 2> inked_range(const RgbImage& image, const Patch& patch, std::size_t axis, double dpi) {
  const double px = dpi / 25.4;
  const auto& along = axis == 0 ? patch.x_mm : patch.y_mm;
  const auto& across = axis == 0 ? patch.y_mm : patch.x_mm;
  const auto line = static_cast<int>((across[0] + across[1]) / 2 * px);
  const auto value = [&](int at, std::size_t channel) {
    const int x = axis == 0 ? at : line;
    const int y = axis == 0 ? line : at;
    const auto i = (static_cast<std::size_t>(y) * static_cast<std::size_t>(image.width_px) +
                    static_cast<std::size_t>(x)) *
                       3 +
                   channel;
    return static_cast<double>(image.rgb[i]);
  };
  const auto middle = static_cast<int>((along[0] + along[1]) / 2 * px);
  std::size_t channel = 0;  // the one that the ink changes most
  for (std::size_t c = 1; c < 3; ++c) {
    if (value(middle, c) < value(middle, channel)) channel = c;
  }
  const double ink = value(middle, channel);
  const int most = axis == 0 ? image.width_px : image.height_px;
  double before = 0;
  double after = 0;
  for (int at = std::max(0, static_cast<int>((along[0] - 1.9) * px)); at < middle; ++at)
    before += (255 - value(at, channel)) / (255 - ink);
  for (int at = middle; at < std::min(most, static_cast<int>((along[1] + 1.9) * px)); ++at)
    after += (255 - value(at, channel)) / (255 - ink);
  return {(middle - before) / px, (middle + after) / px};
}

void expect_patches(const RgbImage& image, const Chart& chart, double dpi) {
  for (const Patch& patch : chart.patches) {
    for (std::size_t axis = 0; axis < 2; ++axis) {
      const auto range = inked_range(image, patch, axis, dpi);
      const auto& expected = axis == 0 ? patch.x_mm : patch.y_mm;
      EXPECT_NEAR(range[0], expected[0], kExact_mm) << patch.inks[0] << " axis " << axis;
      EXPECT_NEAR(range[1], expected[1], kExact_mm) << patch.inks[0] << " axis " << axis;
    }
  }
}

struct Case {
  Machine machine;
  int dpi;
};
void PrintTo(const Case& one, std::ostream* out) {
  *out << one.machine.name << " at " << one.dpi;
}
class Rendered : public ::testing::TestWithParam<Case> {};

TEST_P(Rendered, PdfIsTrueToTheChart) {
  const auto [machine, dpi] = GetParam();
  const auto page = page_of(machine);
  const auto pdf = paint_pdf({page.drawing}, "page");
  ASSERT_TRUE(pdf);
  const auto pages = render(*pdf, dpi);
  ASSERT_EQ(pages.size(), 1U);
  EXPECT_NEAR(pages[0].width_px * 25.4 / dpi, machine.sheet_mm[0], 25.4 / dpi + 0.01);
  EXPECT_NEAR(pages[0].height_px * 25.4 / dpi, machine.sheet_mm[1], 25.4 / dpi + 0.01);
  expect_tags(pages[0], page.plan.chart, dpi);
  expect_patches(pages[0], page.plan.chart, dpi);
}

TEST_P(Rendered, PixelsAreTrueToTheChart) {
  const auto [machine, dpi] = GetParam();
  const auto page = page_of(machine);
  const auto image = paint_pixels(page.drawing, dpi);
  ASSERT_TRUE(image);
  expect_tags(*image, page.plan.chart, dpi);
  expect_patches(*image, page.plan.chart, dpi);
}

INSTANTIATE_TEST_SUITE_P(Pages, Rendered,
                         ::testing::Values(Case{kMachines[0], 300}, Case{kMachines[1], 300},
                                           Case{kMachines[2], 300}, Case{kMachines[2], 600}));

// Solids as the layout has them: density from the pixels' own code.
TEST(TestPage, ColoursAreTheInksDensities) {
  const auto page = page_of(kMachines[0]);
  for (const Ink& ink : page.layout.inks) {
    const Rgb srgb = solid_colour(page.layout, {ink.name});
    for (std::size_t c = 0; c < 3; ++c)
      EXPECT_NEAR(-std::log10(linear_from_srgb(srgb[c])), ink.solid_density_rgb[c], 1e-9) << ink.name;
  }
}

TEST(TestPage, IsTheSameBytesEachTime) {
  const auto page = page_of(kMachines[2]);
  EXPECT_EQ(*paint_pdf({page.drawing}, "page"), *paint_pdf({page.drawing}, "page"));
  EXPECT_FALSE(paint_pixels(page.drawing, 1200));
  EXPECT_FALSE(paint_pixels(page.drawing, 0));
}

// The bar of the paper rulers is the longest dark run in its row: 100 mm, on every sheet.
TEST(Strips, HaveABarOf100Millimetres) {
  const auto machine = testing::layout_of(kMachines[0]);
  const auto description = layout::describe_layout(machine);
  StripOptions options;
  options.sheet_width_mm = 320;
  options.cautions = {"Trained staff only."};
  const auto sheets = draw_strips(machine, description, options);
  ASSERT_EQ(sheets.size(), 2U);  // 320 mm do not go on one
  constexpr int kDpi = 300;
  const auto pages = render(*paint_pdf(sheets, "rulers"), kDpi);
  ASSERT_EQ(pages.size(), 2U);
  for (const RgbImage& image : pages) {
    EXPECT_EQ(image.width_px, std::lround(297 * kDpi / 25.4));
    const auto row = static_cast<std::size_t>(24 * kDpi / 25.4);
    int dark = 0;
    for (std::size_t x = 0; x < static_cast<std::size_t>(image.width_px); ++x)
      dark += image.rgb[(row * static_cast<std::size_t>(image.width_px) + x) * 3] < 128 ? 1 : 0;
    EXPECT_NEAR(dark * 25.4 / kDpi, 100.25, 0.17);  // the end lines' own halves join it
  }
}

}  // namespace
}  // namespace scrapetrace::testpage
