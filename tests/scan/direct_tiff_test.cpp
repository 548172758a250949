// TIFFs read strip by strip without libvips: the same bytes as libvips gives, and nothing from files that
// lack some.

#include <tiffio.h>

#include "directly.h"

namespace scrapetrace::scan {
namespace {

class DirectTiff : public ReadPageTest {};

struct Layout {
  const char* mode = "w";  // libtiff's: "wb" big-endian, "w8" BigTIFF
  int coding = COMPRESSION_NONE;
  int predictor = PREDICTOR_NONE;
  int rows_per_strip = 16;
  int photometric = -1;  // -1: as the picture's bands say
  int planar = PLANARCONFIG_CONTIG;
};

Picture sized(const Picture& from, int width, int height) {
  return remapped(from, width, height, [&](int u, int v) {
    return std::pair{u % from.width, v % from.height};
  });
}

void append(TIFF* tiff, const Picture& p, const Layout& how) {
  TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, p.width);
  TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, p.height);
  TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, p.bands);
  TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, p.bits);
  TIFFSetField(tiff, TIFFTAG_COMPRESSION, how.coding);
  if (how.predictor != PREDICTOR_NONE) TIFFSetField(tiff, TIFFTAG_PREDICTOR, how.predictor);
  TIFFSetField(tiff, TIFFTAG_ROWSPERSTRIP, how.rows_per_strip);
  TIFFSetField(tiff, TIFFTAG_PLANARCONFIG, how.planar);
  const int colours = p.bands == 3 ? PHOTOMETRIC_RGB : PHOTOMETRIC_MINISBLACK;
  TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, how.photometric < 0 ? colours : how.photometric);
  const std::size_t row = static_cast<std::size_t>(p.width) * p.pixel_bytes();
  for (int v = 0; v < p.height; ++v) {
    std::vector<std::uint8_t> samples(p.bytes.begin() + static_cast<std::ptrdiff_t>(row) * v,
                                      p.bytes.begin() + static_cast<std::ptrdiff_t>(row) * (v + 1));
    for (int plane = 0; plane < (how.planar == PLANARCONFIG_CONTIG ? 1 : p.bands); ++plane)
      ASSERT_EQ(TIFFWriteScanline(tiff, samples.data(), static_cast<std::uint32_t>(v),
                                  static_cast<std::uint16_t>(plane)),
                1);
  }
  ASSERT_EQ(TIFFWriteDirectory(tiff), 1);
}

std::string write_tiff(const std::string& path, const std::vector<Picture>& pages, const Layout& how) {
  TIFF* tiff = TIFFOpen(path.c_str(), how.mode);
  for (const Picture& page : pages) append(tiff, page, how);
  TIFFClose(tiff);
  return path;
}

TEST_F(DirectTiff, GivesTheBytesThatLibvipsGives) {
  for (const int bands : {1, 3}) {
    for (const int bits : {8, 16}) {
      const Picture p = sized(picture(bands, bits), 61, 95);
      for (const int coding :
           {COMPRESSION_NONE, COMPRESSION_LZW, COMPRESSION_ADOBE_DEFLATE, COMPRESSION_DEFLATE}) {
        for (const int predictor : {PREDICTOR_NONE, PREDICTOR_HORIZONTAL}) {
          if (coding == COMPRESSION_NONE && predictor != PREDICTOR_NONE) continue;
          SCOPED_TRACE(std::to_string(bands) + " bands, coding " + std::to_string(coding));
          expect_same_directly(write_tiff(in_folder("a.tif"), {p}, {"w", coding, predictor}));
        }
      }
    }
  }
}

TEST_F(DirectTiff, WhateverTheOrderOfBytesAndTheLengthOfStrips) {
  const Picture p = sized(picture(3, 16), 37, 101);
  for (const char* mode : {"wl", "wb", "w8", "wb8"}) {
    for (const int coding : {COMPRESSION_NONE, COMPRESSION_LZW})
      expect_same_directly(write_tiff(in_folder("a.tif"), {p}, {mode, coding}));
  }
  for (const int rows : {1, 2, 5, 7, 16, 33, 100, 101, 4000})
    expect_same_directly(
        write_tiff(in_folder("a.tif"), {p}, {"w", COMPRESSION_LZW, PREDICTOR_HORIZONTAL, rows}));
}

TEST_F(DirectTiff, NarrowLowAndWide) {
  for (const auto& [width, height] : {std::pair{1, 1}, {1, 700}, {700, 1}, {3, 17}, {5000, 40}}) {
    for (const int bands : {1, 3}) {
      const Picture p = sized(picture(bands, 8), width, height);
      expect_same_directly(write_tiff(in_folder("a.tif"), {p}, {"w", COMPRESSION_NONE, PREDICTOR_NONE, 7}));
    }
  }
}

TEST_F(DirectTiff, EveryPageByItsNumber) {
  const auto path = write_tiff(
      in_folder("a.tif"), {sized(picture(3, 8), 50, 60), sized(picture(1, 8), 40, 70), picture(3, 16)}, {});
  for (const int index : {0, 1, 2}) expect_same_directly(path, index);
}

TEST_F(DirectTiff, LeavesTheRestToLibvips) {
  const auto goes_direct = [&](const Picture& p, const Layout& how) {
    return DirectPage(write_tiff(in_folder("a.tif"), {p}, how)).decoder != nullptr;
  };
  const Picture grey = picture(1, 8);
  EXPECT_TRUE(goes_direct(grey, {}));
  Layout white;
  white.photometric = PHOTOMETRIC_MINISWHITE;
  EXPECT_FALSE(goes_direct(grey, white));
  Layout planes;
  planes.planar = PLANARCONFIG_SEPARATE;
  EXPECT_FALSE(goes_direct(picture(3, 8), planes));
  Layout packed;
  packed.coding = COMPRESSION_PACKBITS;
  EXPECT_FALSE(goes_direct(grey, packed));
  Layout one_strip;
  one_strip.coding = COMPRESSION_LZW;  // libtiff divides others as it opens them
  one_strip.rows_per_strip = 5000;
  EXPECT_FALSE(goes_direct(sized(picture(3, 8), 600, 4800), one_strip));
}

// Where strip `number` lies in a file, and how long it is there.
std::array<std::uint64_t, 2> strip_of(const std::string& path, int number) {
  TIFF* tiff = TIFFOpen(path.c_str(), "r");
  const std::array out{TIFFGetStrileOffset(tiff, static_cast<std::uint32_t>(number)),
                       TIFFGetStrileByteCount(tiff, static_cast<std::uint32_t>(number))};
  TIFFClose(tiff);
  return out;
}

// What is wrong is refused by either way, and never filled up. (That bytes are missing:
// read_broken_test.cpp.)
TEST_F(DirectTiff, ADamagedStripFailsAndSoDoesThePage) {
  for (const int coding : {COMPRESSION_LZW, COMPRESSION_ADOBE_DEFLATE}) {
    const auto path = write_tiff(in_folder("a.tif"), {picture(3, 8)}, {"w", coding});
    EXPECT_TRUE(read_page(path, {}).ok());
    const auto [at, bytes] = strip_of(path, 10);
    std::fstream file(path, std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(static_cast<std::streamoff>(at + bytes / 2));
    std::mt19937 random(4);
    for (std::uint64_t k = 0; k < bytes / 2; ++k) file.put(static_cast<char>(random()));
    file.close();
    DirectPage page(path);
    ASSERT_NE(page.decoder, nullptr);
    EXPECT_TRUE(page.pixels(16, 1, false).empty());
    EXPECT_TRUE(page.pixels(16, 3, true).empty());
    expect_problem(path, "is damaged or cut short");
  }
}

}  // namespace
}  // namespace scrapetrace::scan
