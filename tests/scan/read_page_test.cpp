// Reading scans: the same raster from every format, whichever way the image lies.

#include "scan/read_page.h"

#include "pictures.h"

namespace scrapetrace::scan {
namespace {

class ReadPage : public ReadPageTest {};

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

// Most scanners embed sRGB's own: to convert by it would change nothing but the time it takes.
TEST_F(ReadPage, PicturesWithThatOfSrgbAreTakenAsTheyAre) {
  const Picture p = picture(3, 8);
  vips_image(p).pngsave(in_folder("srgb.png").c_str(), vips::VImage::option()->set("profile", "srgb"));
  const auto page = read(in_folder("srgb.png"));
  EXPECT_EQ(largest_difference(page, expected_raster(p, kRows)), 0);
  EXPECT_TRUE(page.notes.empty()) << page.notes.front();
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

}  // namespace
}  // namespace scrapetrace::scan
