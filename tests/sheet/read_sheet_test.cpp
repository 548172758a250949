// A sheet from a file, from memory and from anywhere else is the same page, scanned or photographed.

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

#include "page/tagged.h"
#include "scan/write_image.h"
#include "scrapetrace/sheet.h"

namespace scrapetrace {
namespace {

scan::PixelView view_of(const SimulatedScan& image) {
  scan::PixelView view;
  view.samples = image.pixels.data();
  view.width_px = image.width_px;
  view.height_px = image.height_px;
  view.channels = image.channels;
  view.bits = image.bits;
  view.name = "memory";
  return view;
}

SimulatedScan photo(const Chart& chart) {
  ScanOptions scan;
  scan.threads = 1;
  return simulate_photo(testing::bench_machine(), chart, {}, {}, scan, testing::phone()).value();
}

std::string file_of(const SimulatedScan& image, const std::string& name) {
  const auto path = std::filesystem::path(::testing::TempDir()) / name;
  scan::ImageOptions options;
  options.resolution_tags = false;
  EXPECT_TRUE(scan::write_image({image.width_px, image.height_px, image.channels, image.bits, image.pixels},
                                path.string(), options));
  return path.string();
}

bool says(const PageRaster& page, const std::string& words) {
  return std::any_of(page.notes.begin(), page.notes.end(),
                     [&](const std::string& note) { return note.find(words) != std::string::npos; });
}

TEST(Sheet, OfAPhotoWithTagsIsFlatFromMemoryAndFromAFile) {
  const Layout layout = testing::bench_machine();
  const Chart chart = testing::tagged_chart();
  const auto image = photo(chart);
  const auto of_memory = sheet_from_pixels(view_of(image), layout, &chart);
  ASSERT_TRUE(of_memory);
  EXPECT_GT(of_memory->flattening_sigma_mm, 0);
  EXPECT_TRUE(says(*of_memory, "is a photo: it was made flat by 10 of its tags"));
  // The sheet with 3 mm around it, or less where the photo cuts it.
  EXPECT_NEAR(25.4 * of_memory->width_px / of_memory->tag_dpi_across, chart.sheet_mm[0] + 4.5, 2);
  const auto of_file = read_sheet(file_of(image, "photo.png"), layout, &chart);
  ASSERT_TRUE(of_file);
  EXPECT_TRUE(of_file->linear == of_memory->linear);
  EXPECT_EQ(of_file->pixels.codes, of_memory->pixels.codes);
  EXPECT_EQ(of_file->flattening_sigma_mm, of_memory->flattening_sigma_mm);
}

TEST(Sheet, OfAPhotoWithGapsBetweenRowsAndAlphaIsTheSame) {
  const Layout layout = testing::bench_machine();
  const Chart chart = testing::tagged_chart();
  const auto image = photo(chart);
  const auto stride = static_cast<std::size_t>(image.width_px) * 4 + 12;
  std::vector<std::uint8_t> with_alpha(stride * static_cast<std::size_t>(image.height_px), 0xFF);
  for (std::size_t v = 0; v < static_cast<std::size_t>(image.height_px); ++v) {
    for (std::size_t u = 0; u < static_cast<std::size_t>(image.width_px); ++u) {
      const std::size_t from = 3 * (v * static_cast<std::size_t>(image.width_px) + u);
      std::copy_n(image.pixels.begin() + static_cast<std::ptrdiff_t>(from), 3,
                  with_alpha.begin() + static_cast<std::ptrdiff_t>(v * stride + 4 * u));
    }
  }
  auto view = view_of(image);
  view.samples = with_alpha.data();
  view.channels = 4;
  view.stride_bytes = static_cast<std::ptrdiff_t>(stride);
  const auto page = sheet_from_pixels(view, layout, &chart);
  const auto plain = sheet_from_pixels(view_of(image), layout, &chart);
  ASSERT_TRUE(page && plain);
  EXPECT_TRUE(page->linear == plain->linear);
}

TEST(Sheet, OfAScanStaysAsItIs) {
  const Layout layout = testing::bench_machine();
  const Chart chart = testing::tagged_chart();
  const auto image = simulate_scan(layout, chart, {}, {}, testing::noisy_scan(4)).value();
  auto view = view_of(image);
  view.dpi = image.dpi;
  const auto page = sheet_from_pixels(view, layout, &chart);
  ASSERT_TRUE(page);
  EXPECT_EQ(page->flattening_sigma_mm, 0);
  EXPECT_EQ(page->width_px, image.width_px);
  EXPECT_FALSE(says(*page, "photo"));
}

TEST(Sheet, WithoutAChartIsNeverTakenForAPhoto) {
  const auto image = photo(testing::tagged_chart());
  const auto page = sheet_from_pixels(view_of(image), testing::bench_machine(), nullptr);
  ASSERT_TRUE(page);
  EXPECT_EQ(page->flattening_sigma_mm, 0);
  EXPECT_EQ(page->width_px, image.width_px);
}

// Notes what it is asked for, and has nothing to give.
class Unreadable : public PageSource {
 public:
  explicit Unreadable(scan::ReadOptions& asked) : asked_(asked) {}
  [[nodiscard]] Result<PageRaster> read(const scan::ReadOptions& options) const override {
    asked_ = options;
    return Problem{"elsewhere", 0, 0, "is not there"};
  }
  [[nodiscard]] Result<PageRaster> flatten(const PhotoMap&, const scan::FlattenOptions&) const override {
    return Problem{"elsewhere", 0, 0, "was not to be made flat"};
  }

 private:
  scan::ReadOptions& asked_;
};

TEST(Sheet, AsksItsSourceForWhatItNeedsAndPassesProblemsOn) {
  const Layout layout = testing::bench_machine();
  const Chart chart = testing::tagged_chart();
  SheetOptions options;
  options.dpi = 400;
  options.lead_edge = ImageSide::left;
  options.threads = 3;
  options.limits.left.seconds = 12;
  scan::ReadOptions asked;
  const auto page = sheet_from(Unreadable(asked), "elsewhere", layout, &chart, options);
  ASSERT_FALSE(page);
  EXPECT_EQ(page.problems()[0].what, "is not there");
  EXPECT_EQ(asked.sheet_mm, chart.sheet_mm);
  EXPECT_EQ(asked.drum_width_mm, layout.drum.width_mm);
  EXPECT_EQ(asked.dpi, 400);
  EXPECT_EQ(asked.lead_edge, ImageSide::left);
  EXPECT_EQ(asked.threads, 3);
  EXPECT_EQ(asked.limits.left.seconds, 12);
  EXPECT_TRUE(asked.overview);
  EXPECT_FALSE(sheet_from(Unreadable(asked), "elsewhere", layout, nullptr, options));
  EXPECT_FALSE(asked.overview);
}

// A photo without tags of a part of the sheet: refused, with what to do, under the picture's name.
TEST(Sheet, OfAPhotoThatShowsTooLittleIsRefusedByName) {
  const Layout layout = testing::bench_machine();
  Chart chart = testing::tagged_chart();
  chart.marks.clear();
  const auto image = photo(chart);
  SheetOptions options;
  // Corners where the sheet is not: no printed edge shows where they say.
  options.corners = PhotoCorners{{{10, 10}, {60, 14}, {55, 70}, {12, 66}}};
  const auto page = sheet_from_pixels(view_of(image), layout, &chart, options);
  ASSERT_FALSE(page);
  EXPECT_EQ(page.problems()[0].file, "memory");
  EXPECT_NE(page.problems()[0].what.find("shows too little"), std::string::npos) << page.problems()[0].what;
}

}  // namespace
}  // namespace scrapetrace
