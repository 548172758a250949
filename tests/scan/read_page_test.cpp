// Reading scans: the same raster from every format, and a clear word about every file that is none.

#include "scan/read_page.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <random>
#include <vips/vips8>

#include "scan/block_sums.h"
#include "scan/vips_session.h"
#include "scan/write_image.h"

namespace scrapetrace::scan {
namespace {

namespace fs = std::filesystem;

constexpr int kWidth = 240;
constexpr int kHeight = 330;
constexpr double kDpi = 300;

// Samples of an image as written, rows of interleaved bands.
struct Picture {
  int width = kWidth;
  int height = kHeight;
  int bands = 3;
  int bits = 8;
  std::vector<std::uint8_t> bytes;
  [[nodiscard]] Pixels pixels() const { return {width, height, bands, bits, bytes}; }
  [[nodiscard]] std::size_t pixel_bytes() const { return static_cast<std::size_t>(bands * bits / 8); }
};

// Soft gradients and a little noise, so that no two places look alike and every format can hold them.
Picture picture(int bands, int bits) {
  Picture p;
  p.bands = bands;
  p.bits = bits;
  std::mt19937 random(8);
  for (int v = 0; v < p.height; ++v) {
    for (int u = 0; u < p.width; ++u) {
      for (int b = 0; b < bands; ++b) {
        const double wave = 0.5 + 0.3 * std::sin(0.02 * (u + 40 * b)) + 0.15 * std::cos(0.013 * v + b);
        const double noise = static_cast<double>(random() % 100) / 100;
        const auto value =
            static_cast<std::uint16_t>(bits == 8 ? 255 * wave + 3 * noise : 65535 * wave + 600 * noise);
        p.bytes.push_back(static_cast<std::uint8_t>(value & 0xFF));
        if (bits == 16) p.bytes.push_back(static_cast<std::uint8_t>(value >> 8));
      }
    }
  }
  return p;
}

// Pixel (u, v) of the result is pixel source(u, v) of `from`.
template <class Source>
Picture remapped(const Picture& from, int width, int height, Source source) {
  Picture out = from;
  out.width = width;
  out.height = height;
  out.bytes.clear();
  for (int v = 0; v < height; ++v) {
    for (int u = 0; u < width; ++u) {
      const auto [su, sv] = source(u, v);
      const auto at =
          from.bytes.begin() + static_cast<std::ptrdiff_t>(from.pixel_bytes()) * (sv * from.width + su);
      out.bytes.insert(out.bytes.end(), at, at + static_cast<std::ptrdiff_t>(from.pixel_bytes()));
    }
  }
  return out;
}

PageRaster expected_raster(const Picture& p, int rows_per_block) {
  PageRaster page;
  page.width_px = p.width;
  page.height_px = p.height;
  page.rows_per_block = rows_per_block;
  BlockSums sums(page, p.bands, p.bits / 8);
  for (int v = 0; v < p.height; ++v) {
    sums.add_row(p.bytes.data() + static_cast<std::size_t>(v * p.width) * p.pixel_bytes());
  }
  sums.finish();
  return page;
}

double largest_difference(const PageRaster& a, const PageRaster& b) {
  EXPECT_EQ(a.width_px, b.width_px);
  EXPECT_EQ(a.height_px, b.height_px);
  EXPECT_EQ(a.rows_per_block, b.rows_per_block);
  if (a.linear.size() != b.linear.size()) return 1e9;
  double most = 0;
  for (std::size_t i = 0; i < a.linear.size(); ++i) {
    most = std::max(most, std::abs(static_cast<double>(a.linear[i]) - static_cast<double>(b.linear[i])));
  }
  return most;
}

class ReadPage : public ::testing::Test {
 protected:
  void SetUp() override {
    fs::create_directories(folder_);
    start_vips();
  }
  void TearDown() override {
    EXPECT_EQ(take_vips_error(), "");
    fs::remove_all(folder_);
  }
  [[nodiscard]] std::string in_folder(const std::string& name) const { return (folder_ / name).string(); }

  std::string write(const Picture& p, const std::string& name, ImageOptions options = {}) {
    if (options.dpi == 0) options.dpi = kDpi;
    EXPECT_TRUE(write_image(p.pixels(), in_folder(name), options).ok()) << name;
    return in_folder(name);
  }
  std::string write_bytes(const std::string& bytes, const std::string& name) {
    std::ofstream(in_folder(name), std::ios::binary) << bytes;
    return in_folder(name);
  }
  std::string cut(const std::string& whole, double share) {
    std::ifstream file(whole, std::ios::binary);
    std::string bytes((std::istreambuf_iterator<char>(file)), {});
    bytes.resize(static_cast<std::size_t>(share * static_cast<double>(bytes.size())));
    return write_bytes(bytes, "cut_" + fs::path(whole).filename().string());
  }
  static PageRaster read(const std::string& path, const ReadOptions& options = {}) {
    const auto page = read_page(path, options);
    if (!page) {
      ADD_FAILURE() << to_string(page.problems()[0]);
      return {};
    }
    return *page;
  }
  // The problem names the file as given, says what is wrong in a sentence, and what to do.
  static void expect_problem(const std::string& path, const std::string& says) {
    const auto page = read_page(path, {});
    ASSERT_FALSE(page.ok()) << path;
    ASSERT_EQ(page.problems().size(), 1U);
    EXPECT_EQ(page.problems()[0].file, path);
    EXPECT_NE(page.problems()[0].what.find(says), std::string::npos) << page.problems()[0].what;
    EXPECT_NE(page.problems()[0].what.find(';'), std::string::npos) << page.problems()[0].what;
    EXPECT_EQ(page.problems()[0].what.find('\n'), std::string::npos);
  }

  fs::path folder_ = fs::temp_directory_path() / ("read_page_test_" + std::to_string(getpid()));
};

ReadOptions at_dpi(double dpi) {
  ReadOptions options;
  options.dpi = dpi;
  return options;
}
ReadOptions for_sheet(double width_mm, double length_mm) {
  ReadOptions options;
  options.sheet_mm = {width_mm, length_mm};
  return options;
}
ReadOptions for_drum(double width_mm) {
  ReadOptions options;
  options.drum_width_mm = width_mm;
  return options;
}

vips::VImage vips_image(const Picture& p) {
  const auto format = p.bits == 16 ? VIPS_FORMAT_USHORT : VIPS_FORMAT_UCHAR;
  const auto space = p.bits == 16 ? VIPS_INTERPRETATION_RGB16 : VIPS_INTERPRETATION_sRGB;
  return vips::VImage(vips_image_new_from_memory_copy(p.bytes.data(), p.bytes.size(), p.width, p.height,
                                                      p.bands, format))
      .copy(vips::VImage::option()
                ->set("interpretation", space)
                ->set("xres", kDpi / 25.4)
                ->set("yres", kDpi / 25.4));
}

constexpr int kRows = 8;  // 0.68 mm at 300 dpi

TEST_F(ReadPage, LosslessFormatsGiveTheSamePixels) {
  for (const int bands : {1, 3}) {
    for (const int bits : {8, 16}) {
      const Picture p = picture(bands, bits);
      const auto expected = expected_raster(p, kRows);
      ImageOptions plain;
      plain.tiff_compression = TiffCompression::none;
      ImageOptions deflate;
      deflate.tiff_compression = TiffCompression::deflate;
      for (const auto& path : {write(p, "lzw.tif"), write(p, "plain.tiff", plain),
                               write(p, "deflate.tif", deflate), write(p, "a.png")}) {
        const auto page = read(path);
        EXPECT_EQ(largest_difference(page, expected), 0) << path << bands << bits;
        EXPECT_EQ(page.grey, bands == 1);
        EXPECT_FALSE(page.transposed);
        EXPECT_NEAR(page.tag_dpi_across, kDpi, 0.02);
        EXPECT_NEAR(page.tag_dpi_along, kDpi, 0.02);
      }
    }
  }
}

// Coded at high quality, eight rows averaged: within three code values of 255, each 0.009 of full scale near
// white.
constexpr double kCoding = 0.03 * 65535;

TEST_F(ReadPage, LossyFormatsGiveNearlyTheSamePixels) {
  const Picture p = picture(3, 8);
  const auto expected = expected_raster(p, kRows);
  ImageOptions fine;
  fine.jpeg_quality = 97;
  EXPECT_LT(largest_difference(read(write(p, "a.jpg", fine)), expected), kCoding);
  vips_image(p).webpsave(in_folder("a.webp").c_str(), vips::VImage::option()->set("Q", 97));
  EXPECT_LT(largest_difference(read(in_folder("a.webp"), at_dpi(kDpi)), expected), kCoding);
  vips_image(p).webpsave(in_folder("b.webp").c_str(), vips::VImage::option()->set("lossless", true));
  EXPECT_EQ(largest_difference(read(in_folder("b.webp"), at_dpi(kDpi)), expected), 0);
  const Picture grey = picture(1, 8);
  EXPECT_LT(largest_difference(read(write(grey, "grey.jpeg", fine)), expected_raster(grey, kRows)), kCoding);
}

TEST_F(ReadPage, AlphaLiesOnWhite) {
  for (const int bits : {8, 16}) {
    Picture p = picture(4, bits);
    Picture opaque = picture(3, bits);
    const std::size_t bytes = static_cast<std::size_t>(bits / 8);
    for (std::size_t i = 0; i < static_cast<std::size_t>(kWidth * kHeight); ++i) {
      const bool seen = i % 3 != 0;
      for (std::size_t b = 0; b < bytes; ++b) p.bytes[(i * 4 + 3) * bytes + b] = seen ? 0xFF : 0;
      for (std::size_t b = 0; b < 3 * bytes; ++b) {
        opaque.bytes[i * 3 * bytes + b] = seen ? p.bytes[i * 4 * bytes + b] : 0xFF;
      }
    }
    EXPECT_EQ(largest_difference(read(write(p, "alpha.png")), expected_raster(opaque, kRows)), 0) << bits;
  }
}

// An embedded profile other than sRGB changes the colours; libvips' own wide-gamut profile stands for any.
TEST_F(ReadPage, EmbeddedProfilesAreApplied) {
  const Picture p = picture(3, 8);
  const auto converted =
      vips_image(p).icc_transform("p3", vips::VImage::option()->set("input_profile", "srgb"));
  converted.pngsave(in_folder("p3.png").c_str());
  const auto page = read(in_folder("p3.png"));
  const auto expected = expected_raster(p, kRows);
  EXPECT_LT(largest_difference(page, expected), kCoding);
  Picture raw = p;
  std::size_t size = 0;
  char* memory = static_cast<char*>(converted.write_to_memory(&size));
  raw.bytes.assign(memory, memory + size);
  g_free(memory);
  EXPECT_GT(largest_difference(expected_raster(raw, kRows), expected), 1.5 * kCoding);
}

TEST_F(ReadPage, RowsPerBlockFollowTheResolution) {
  const Picture p = picture(1, 8);
  ImageOptions fine;
  fine.dpi = 600;
  EXPECT_EQ(read(write(p, "fine.png", fine)).rows_per_block, 16);
  EXPECT_EQ(read(in_folder("fine.png"), at_dpi(300)).rows_per_block, 8);
  EXPECT_EQ(read(in_folder("fine.png"), at_dpi(20)).rows_per_block, 1);
  EXPECT_EQ(read(in_folder("fine.png"), at_dpi(4800)).rows_per_block, 64);
  ImageOptions none;
  none.resolution_tags = false;
  // 330 px are the sheet's 27.94 mm: 300 dpi.
  EXPECT_EQ(read(write(p, "none.png", none), for_sheet(20.32, 27.94)).rows_per_block, 8);
}

TEST(BelievableDpi, LeavesOutStandIns) {
  EXPECT_EQ(believable_dpi(1), 0);          // libvips' "unknown"
  EXPECT_EQ(believable_dpi(72 / 25.4), 0);  // cameras and screens
  EXPECT_EQ(believable_dpi(2.83), 0);       // 72 dpi rounded to hundredths
  EXPECT_EQ(believable_dpi(0), 0);
  EXPECT_EQ(believable_dpi(std::nan("")), 0);
  EXPECT_EQ(believable_dpi(20000 / 25.4), 0);
  EXPECT_NEAR(believable_dpi(300 / 25.4), 300, 1e-9);
  EXPECT_NEAR(believable_dpi(75 / 25.4), 75, 1e-9);
  EXPECT_NEAR(believable_dpi(4800 / 25.4), 4800, 1e-9);
}

TEST_F(ReadPage, ResolutionTagsAreTakenOrNot) {
  const Picture p = picture(1, 8);
  for (const std::string suffix : {".tif", ".png", ".jpg"}) {
    ImageOptions options;
    for (const auto& [dpi, taken] : {std::pair{600.0, 600.0}, {72.0, 0.0}, {400.0, 400.0}}) {
      options.dpi = dpi;
      const auto page = read(write(p, "a" + suffix, options));
      EXPECT_NEAR(page.tag_dpi_across, taken, 0.1) << suffix;
      EXPECT_NEAR(page.tag_dpi_along, taken, 0.1) << suffix;
    }
    options.resolution_tags = false;
    EXPECT_EQ(read(write(p, "none" + suffix, options)).tag_dpi_across, 0) << suffix;
  }
}

TEST_F(ReadPage, TagsMayDifferAcrossAndAlong) {
  const auto image = vips_image(picture(3, 8)).copy(vips::VImage::option()->set("yres", 600 / 25.4));
  image.tiffsave(in_folder("a.tif").c_str());
  const auto upright = read(in_folder("a.tif"));
  EXPECT_NEAR(upright.tag_dpi_across, 300, 0.01);
  EXPECT_NEAR(upright.tag_dpi_along, 600, 0.01);
  const auto across = read(in_folder("a.tif"), for_sheet(30.0, 20.0));
  ASSERT_TRUE(across.transposed);
  EXPECT_NEAR(across.tag_dpi_across, 600, 0.01);
  EXPECT_NEAR(across.tag_dpi_along, 300, 0.01);
}

TEST_F(ReadPage, ReadsALandscapeImageOfAPortraitSheetTransposed) {
  const Picture upright = picture(3, 8);
  const Picture lying = remapped(upright, kHeight, kWidth, [](int u, int v) { return std::pair{v, u}; });
  const auto path = write(lying, "lying.tif");
  const auto expected = expected_raster(upright, kRows);
  const auto by_sheet = read(path, for_sheet(20.0, 28.0));
  EXPECT_TRUE(by_sheet.transposed);
  EXPECT_EQ(largest_difference(by_sheet, expected), 0);
  // 330 px at 300 dpi are 27.9 mm: more than a drum of 12 mm and 10 mm of bed take; 240 px are 20.3 mm.
  const auto by_drum = read(path, for_drum(12));
  EXPECT_TRUE(by_drum.transposed);
  EXPECT_EQ(largest_difference(by_drum, expected), 0);
  EXPECT_FALSE(read(path, for_sheet(28.0, 20.0)).transposed);
  EXPECT_FALSE(read(path, for_drum(330)).transposed);
  EXPECT_FALSE(read(path).transposed);
  EXPECT_FALSE(read(write(upright, "upright.tif"), for_sheet(20.0, 28.0)).transposed);
}

// As the Exif standard (CIPA DC-008) defines it: the sides of the picture that row 0 and column 0 stand for.
Picture stored_with_orientation(const Picture& p, int orientation) {
  const int w = p.width;
  const int h = p.height;
  switch (orientation) {
    case 2:  // top, right
      return remapped(p, w, h, [=](int u, int v) { return std::pair{w - 1 - u, v}; });
    case 3:  // bottom, right
      return remapped(p, w, h, [=](int u, int v) { return std::pair{w - 1 - u, h - 1 - v}; });
    case 4:  // bottom, left
      return remapped(p, w, h, [=](int u, int v) { return std::pair{u, h - 1 - v}; });
    case 5:  // left, top
      return remapped(p, h, w, [=](int u, int v) { return std::pair{v, u}; });
    case 6:  // right, top
      return remapped(p, h, w, [=](int u, int v) { return std::pair{w - 1 - v, u}; });
    case 7:  // right, bottom
      return remapped(p, h, w, [=](int u, int v) { return std::pair{w - 1 - v, h - 1 - u}; });
    case 8:  // left, bottom
      return remapped(p, h, w, [=](int u, int v) { return std::pair{v, h - 1 - u}; });
    default:
      return p;
  }
}

TEST_F(ReadPage, FollowsTheOrientationTag) {
  const Picture p = picture(3, 8);
  const auto expected = expected_raster(p, kRows);
  for (int orientation = 1; orientation <= 8; ++orientation) {
    auto image = vips_image(stored_with_orientation(p, orientation));
    image.set("orientation", orientation);
    image.tiffsave(in_folder("a.tif").c_str());
    EXPECT_EQ(largest_difference(read(in_folder("a.tif")), expected), 0) << orientation;
    image.jpegsave(in_folder("a.jpg").c_str(),
                   vips::VImage::option()->set("Q", 97)->set("subsample_mode", VIPS_FOREIGN_SUBSAMPLE_OFF));
    EXPECT_LT(largest_difference(read(in_folder("a.jpg")), expected), kCoding) << orientation;
  }
}

TEST_F(ReadPage, OrientationTurnsTheResolutionToo) {
  auto image = vips_image(picture(3, 8)).copy(vips::VImage::option()->set("yres", 600 / 25.4));
  image.set("orientation", 6);
  image.tiffsave(in_folder("a.tif").c_str());
  const auto page = read(in_folder("a.tif"));
  EXPECT_NEAR(page.tag_dpi_across, 600, 0.01);
  EXPECT_NEAR(page.tag_dpi_along, 300, 0.01);
}

TEST_F(ReadPage, SaysWhatIsWrongWithAFile) {
  expect_problem(in_folder("missing.tif"), "no such file");
  expect_problem(folder_.string(), "is a folder");
  expect_problem(write_bytes("", "empty.tif"), "is empty");
  expect_problem(write_bytes("This is a letter, not a scan.\n", "letter.tif"), "TIFF, PNG, JPEG or WebP");
  std::mt19937 random(3);
  std::string noise;
  for (int i = 0; i < 5000; ++i) noise.push_back(static_cast<char>(random()));
  for (const std::string name : {"noise.png", "noise.jpg", "noise.tif", "noise"}) {
    expect_problem(write_bytes(noise, name), "TIFF, PNG, JPEG or WebP");
  }
}

// Images, but drawings or moving pictures: what libvips makes of them is no scan.
TEST_F(ReadPage, TakesScansOnly) {
  expect_problem(write_bytes("<svg xmlns='http://www.w3.org/2000/svg' width='900' height='900'/>", "a.svg"),
                 "TIFF, PNG, JPEG or WebP");
  expect_problem(write_bytes("P2 2 2 255\n0 1 2 3\n", "a.pgm"), "TIFF, PNG, JPEG or WebP");
  // The content counts, not the name.
  const auto path = write(picture(3, 8), "a.png");
  fs::rename(path, in_folder("b.tif"));
  EXPECT_EQ(largest_difference(read(in_folder("b.tif")), expected_raster(picture(3, 8), kRows)), 0);
}

TEST_F(ReadPage, RefusesFilesThatWereCutShort) {
  const Picture p = picture(3, 8);
  vips_image(p).webpsave(in_folder("a.webp").c_str(), vips::VImage::option()->set("Q", 90));
  for (const auto& path : {write(p, "a.tif"), write(p, "a.png"), write(p, "a.jpg"), in_folder("a.webp")}) {
    for (const double share : {0.02, 0.5, 0.9}) expect_problem(cut(path, share), "again");
  }
}

std::string little_endian(std::uint32_t value, int bytes) {
  std::string out;
  for (int i = 0; i < bytes; ++i) out.push_back(static_cast<char>(value >> (8 * i)));
  return out;
}

// TIFF 6.0 by hand, directory first, as scanners write it while they scan: 64 x 64 grey pixels in four
// strips.
std::string tiff_with_directory_first(std::size_t rows_present) {
  constexpr std::uint32_t kStrips = 4;
  constexpr std::uint32_t kDirectory = 8;
  constexpr std::uint32_t kEntries = 9;
  constexpr std::uint32_t kOffsets = kDirectory + 2 + 12 * kEntries + 4;
  constexpr std::uint32_t kPixels = kOffsets + 8 * kStrips;
  std::string file = "II" + little_endian(42, 2) + little_endian(kDirectory, 4) + little_endian(kEntries, 2);
  const auto entry = [&](std::uint32_t tag, std::uint32_t type, std::uint32_t count, std::uint32_t value) {
    file +=
        little_endian(tag, 2) + little_endian(type, 2) + little_endian(count, 4) + little_endian(value, 4);
  };
  entry(256, 3, 1, 64);                            // width
  entry(257, 3, 1, 64);                            // length
  entry(258, 3, 1, 8);                             // bits per sample
  entry(259, 3, 1, 1);                             // not compressed
  entry(262, 3, 1, 1);                             // black is zero
  entry(273, 4, kStrips, kOffsets);                // strip offsets
  entry(277, 3, 1, 1);                             // samples per pixel
  entry(278, 3, 1, 16);                            // rows per strip
  entry(279, 4, kStrips, kOffsets + 4 * kStrips);  // strip byte counts
  file += little_endian(0, 4);
  for (std::uint32_t s = 0; s < kStrips; ++s) file += little_endian(kPixels + s * 16 * 64, 4);
  for (std::uint32_t s = 0; s < kStrips; ++s) file += little_endian(16 * 64, 4);
  return file + std::string(rows_present * 64, '\xC0');
}

TEST_F(ReadPage, RefusesATiffWhoseLastStripsAreMissing) {
  const auto whole = read(write_bytes(tiff_with_directory_first(64), "whole.tif"));
  EXPECT_EQ(whole.width_px, 64);
  EXPECT_EQ(whole.height_px, 64);
  expect_problem(write_bytes(tiff_with_directory_first(40), "cut.tif"), "again");
}

TEST_F(ReadPage, TellsHowManyChannelsItCannotUse) {
  std::vector<std::uint8_t> five(5 * 64 * 64, 100);
  const auto image = vips::VImage::new_from_memory(five.data(), five.size(), 64, 64, 5, VIPS_FORMAT_UCHAR);
  image.copy(vips::VImage::option()->set("interpretation", VIPS_INTERPRETATION_MULTIBAND))
      .tiffsave(in_folder("five.tif").c_str());
  const auto page = read_page(in_folder("five.tif"), {});
  ASSERT_FALSE(page.ok());
  EXPECT_EQ(page.problems()[0].file, in_folder("five.tif"));
}

}  // namespace
}  // namespace scrapetrace::scan
