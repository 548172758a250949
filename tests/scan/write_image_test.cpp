// Image files: format, resolution, wholeness. Read back with libvips' own loaders, which are not the
// project's code.

#include "scan/write_image.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstring>
#include <filesystem>
#include <fstream>
#include <numeric>
#include <vips/vips8>

#include "scan/rasterise_svg.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {
namespace {

namespace fs = std::filesystem;

class WriteImage : public ::testing::Test {
 protected:
  void SetUp() override {
    fs::create_directories(folder_);
    std::iota(ramp_.begin(), ramp_.end(), std::uint8_t{0});
    start_vips();
  }
  void TearDown() override { fs::remove_all(folder_); }

  [[nodiscard]] Pixels pixels(int bits = 8) const { return {16, bits == 8 ? 16 : 8, 3, bits, ramp_}; }
  [[nodiscard]] std::string in_folder(const std::string& name) const { return (folder_ / name).string(); }
  [[nodiscard]] std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder_), fs::directory_iterator()));
  }

  fs::path folder_ = fs::temp_directory_path() / ("write_image_test_" + std::to_string(getpid()));
  std::vector<std::uint8_t> ramp_ = std::vector<std::uint8_t>(16 * 16 * 3);
};

std::string bytes_of(const vips::VImage& image) {
  std::size_t size = 0;
  char* memory = static_cast<char*>(image.write_to_memory(&size));
  std::string bytes(memory, size);
  g_free(memory);
  return bytes;
}

TEST_F(WriteImage, LosslessFormatsGiveBackPixelsAndResolution) {
  for (const std::string name : {"a.tif", "b.TIFF", "c.png"}) {
    for (const int bits : {8, 16}) {
      for (const auto compression : {TiffCompression::none, TiffCompression::lzw, TiffCompression::deflate}) {
        ImageOptions options;
        options.dpi = 600;
        options.tiff_compression = compression;
        ASSERT_TRUE(write_image(pixels(bits), in_folder(name), options).ok());
        const auto image = vips::VImage::new_from_file(in_folder(name).c_str());
        EXPECT_EQ(bytes_of(image), std::string(ramp_.begin(), ramp_.end())) << name << bits;
        EXPECT_NEAR(image.xres() * 25.4, 600, 0.02) << name;
        EXPECT_NEAR(image.yres() * 25.4, 600, 0.02) << name;
      }
    }
  }
}

TEST_F(WriteImage, JpegKeepsResolutionAndNearlyThePixels) {
  const std::vector<std::uint8_t> grey(64 * 48, 117);
  ImageOptions options;
  options.dpi = 300;
  ASSERT_TRUE(write_image({64, 48, 1, 8, grey}, in_folder("a.jpg"), options).ok());
  const auto image = vips::VImage::new_from_file(in_folder("a.jpg").c_str());
  EXPECT_EQ(image.bands(), 1);
  EXPECT_NEAR(image.avg(), 117, 1);
  EXPECT_NEAR(image.xres() * 25.4, 300, 0.01);
}

TEST_F(WriteImage, WithoutTagsTheResolutionIsLibvipsStandIn) {
  ImageOptions options;
  options.resolution_tags = false;
  for (const std::string name : {"a.tif", "a.png", "a.jpg"}) {
    ASSERT_TRUE(write_image(pixels(), in_folder(name), options).ok());
    EXPECT_NEAR(vips::VImage::new_from_file(in_folder(name).c_str()).xres(), 1, 1e-6) << name;
  }
}

TEST_F(WriteImage, RefusesWhatNoFileCanHold) {
  ImageOptions options;
  options.dpi = 600;
  const auto refused = [&](const Pixels& p, const std::string& name, const ImageOptions& o,
                           const char* says) {
    const auto result = write_image(p, in_folder(name), o);
    ASSERT_FALSE(result.ok()) << name;
    EXPECT_EQ(result.problems()[0].file, in_folder(name));
    EXPECT_NE(result.problems()[0].what.find(says), std::string::npos) << result.problems()[0].what;
  };
  refused(pixels(), "a.gif", options, ".png");
  refused(pixels(), "plain", options, "suffix");
  refused(pixels(16), "a.jpg", options, "8 bits");
  refused({16, 17, 3, 8, ramp_}, "a.png", options, "816");
  refused(pixels(), "no/such/a.png", options, "folder");
  ImageOptions poor = options;
  poor.jpeg_quality = 0;
  refused(pixels(), "a.jpg", poor, "quality");
  ImageOptions unknown = options;
  unknown.dpi = 0;
  refused(pixels(), "a.png", unknown, "dpi");
  EXPECT_EQ(files(), 0U);
}

TEST_F(WriteImage, LeavesTheOldThingAndNothingElseWhenItFails) {
  fs::create_directory(in_folder("a.png"));
  ImageOptions options;
  options.dpi = 600;
  EXPECT_FALSE(write_image(pixels(), in_folder("a.png"), options).ok());
  EXPECT_TRUE(fs::is_directory(in_folder("a.png")));
  EXPECT_EQ(files(), 1U);
  EXPECT_EQ(take_vips_error(), "");
}

TEST_F(WriteImage, ReplacesAnOldFileAndLeavesNoOther) {
  std::ofstream(in_folder("a.png")) << "old";
  ImageOptions options;
  options.dpi = 600;
  ASSERT_TRUE(write_image(pixels(), in_folder("a.png"), options).ok());
  EXPECT_EQ(files(), 1U);
  EXPECT_GT(fs::file_size(in_folder("a.png")), 50U);
}

TEST(RasteriseSvg, DrawsAtTheAskedScale) {
  const auto image = rasterise_svg(
      "<svg xmlns='http://www.w3.org/2000/svg' width='20' height='10'>"
      "<rect width='10' height='10' fill='#ff8000'/></svg>",
      3);
  ASSERT_TRUE(image.ok());
  EXPECT_EQ(image->width_px, 60);
  EXPECT_EQ(image->height_px, 30);
  const auto at = [&](int u, int v) {
    return &image->rgba[(static_cast<std::size_t>(v) * 60 + static_cast<std::size_t>(u)) * 4];
  };
  EXPECT_EQ(std::vector<int>(at(5, 5), at(5, 5) + 4), (std::vector<int>{255, 128, 0, 255}));
  EXPECT_EQ(at(45, 5)[3], 0);
}

TEST(RasteriseSvg, SaysWhatIsWrongWithADrawing) {
  const auto image = rasterise_svg("no drawing", 1);
  ASSERT_FALSE(image.ok());
  EXPECT_NE(image.problems()[0].what.find("Start tag"), std::string::npos);
  EXPECT_FALSE(rasterise_svg("<svg xmlns='http://www.w3.org/2000/svg' width='2' height='1'/>", 0).ok());
  EXPECT_EQ(take_vips_error(), "");
}

}  // namespace
}  // namespace scrapetrace::scan
