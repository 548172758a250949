// Files as other programs write them, against what Pillow reads from them.

#include <gtest/gtest.h>

#include <set>

#include "base/srgb.h"
#include "pictures.h"
#include "scan/load_vips_module.h"
#include "scan/page_name.h"

namespace scrapetrace::scan {
namespace {

class Formats : public ReadPageTest {
 protected:
  void make(const std::string& kind) {
    ASSERT_TRUE(ask_oracle("scan/make_files.py", kind + " " + folder_.string()).empty());
  }
};

// Mean sRGB code of each of nine cells of the page, three channels each, row by row. Means of linear light
// and of codes differ by what the cell's own contrast makes of the curve; both sides take the same cells.
template <class Code>
std::vector<double> nine_cells(const PageRaster& page, Code code_of) {
  std::vector<double> out;
  for (int row = 0; row < 3; ++row) {
    for (int column = 0; column < 3; ++column) {
      for (int c = 0; c < 3; ++c) {
        double sum = 0;
        int n = 0;
        for (int b = row * page.blocks() / 3; b < (row + 1) * page.blocks() / 3; ++b) {
          for (int u = column * page.width_px / 3; u < (column + 1) * page.width_px / 3; ++u) {
            sum += code_of(page.row(b, c)[u] / 65535.0);
            ++n;
          }
        }
        out.push_back(sum / n);
      }
    }
  }
  return out;
}

std::vector<double> nine_cells(const PageRaster& page) {
  return nine_cells(page, [](double linear) { return 255 * srgb_from_linear(linear); });
}

double worst(const std::vector<double>& a, const std::vector<double>& b) {
  if (a.size() != b.size()) return 1e9;
  double most = 0;
  for (std::size_t i = 0; i < a.size(); ++i) most = std::max(most, std::abs(a[i] - b[i]));
  return most;
}

// Blocks do not quite end where the cells do (330 rows in blocks of 8), and codes are averaged in linear
// light: within two and a half codes.
constexpr double kCodes = 2.5;

TEST_F(Formats, ColoursAreThoseThatPillowReads) {
  make("colours");
  for (const std::string name : {"tagged.tif", "progressive.jpg", "palette.png", "grey.tif", "tiff_lzw.tif",
                                 "tiff_adobe_deflate.tif", "packbits.tif", "jpeg.tif"}) {
    const auto page = read(in_folder(name));
    const auto theirs = ask_oracle("scan/make_files.py", "read " + in_folder(name));
    EXPECT_LT(worst(nine_cells(page), theirs), kCodes) << name;
    EXPECT_EQ(page.grey, name == "grey.tif") << name;
    EXPECT_NEAR(page.tag_dpi_across, 300, 0.1) << name;
  }
}

TEST_F(Formats, OneBitIsBlackAndWhite) {
  make("colours");
  const auto page = read(in_folder("bilevel.tif"));
  EXPECT_TRUE(page.grey);
  // Of black and white, linear light and codes have the same mean.
  const auto theirs = ask_oracle("scan/make_files.py", "read " + in_folder("bilevel.tif"));
  EXPECT_LT(worst(nine_cells(page, [](double linear) { return 255 * linear; }), theirs), kCodes);
}

TEST_F(Formats, WhatWasAssumedAboutColourIsSaid) {
  make("colours");
  const auto notes = [&](const std::string& name) {
    std::string all;
    for (const auto& note : read(in_folder(name)).notes) all += note + ". ";
    return all;
  };
  EXPECT_EQ(notes("tagged.tif"), "");
  EXPECT_NE(notes("tiff_lzw.tif").find("taken as sRGB"), std::string::npos);
  EXPECT_NE(notes("grey.tif").find("taken as sRGB"), std::string::npos);
  EXPECT_NE(notes("cmyk_pale.tif").find("CMYK without a profile"), std::string::npos);
}

// Pillow makes CMYK by taking complements, without black and (as PostScript's DeviceRGB does, PLRM 3, 7.2.3)
// with all of the grey in it; both are turned back. The JPEG is stored inverted, as the trade does.
TEST_F(Formats, ComplementsOfRgbAreTurnedBack) {
  make("colours");
  const auto rgb = ask_oracle("scan/make_files.py", "read " + in_folder("tagged.tif"));
  for (const std::string name : {"cmyk.tif", "cmyk.jpg", "cmyk_black.tif", "cmyk_black.jpg", "cmyk.pdf"}) {
    const auto page = read(in_folder(name));
    EXPECT_LT(worst(nine_cells(page), rgb), kCodes) << name;
    ASSERT_FALSE(page.notes.empty());
    EXPECT_NE(page.notes[0].find("complements"), std::string::npos) << name << page.notes[0];
  }
}

// What went through a press profile is no complement, with or without its profile.
TEST_F(Formats, APressSeparationGoesThroughAProfile) {
  const Picture p = picture(3, 8);
  const auto press =
      vips_image(p).icc_transform("cmyk", vips::VImage::option()->set("input_profile", "srgb"));
  press.tiffsave(in_folder("tagged.tif").c_str());
  auto bare = press.copy();
  bare.remove(VIPS_META_ICC_NAME);
  bare.tiffsave(in_folder("bare.tif").c_str());
  const auto tagged = read(in_folder("tagged.tif"), at_dpi(kDpi));
  const auto page = read(in_folder("bare.tif"), at_dpi(kDpi));
  EXPECT_TRUE(tagged.notes.empty());
  ASSERT_EQ(page.notes.size(), 1U);
  EXPECT_NE(page.notes[0].find("CMYK without a profile: a common press profile"), std::string::npos);
  EXPECT_LT(worst(nine_cells(page), nine_cells(tagged)), 0.5);
}

// Nothing dark: neither kind of dark pixel speaks, and the press profile is assumed as before.
TEST_F(Formats, PaleCmykIsNotTakenForAComplement) {
  make("colours");
  ASSERT_EQ(read(in_folder("cmyk_pale.tif")).notes.size(), 1U);
  EXPECT_NE(read(in_folder("cmyk_pale.tif")).notes[0].find("a common press profile"), std::string::npos);
}

TEST_F(Formats, OrientationTagsAreFollowedAsPillowDoes) {
  make("turned");
  const auto upright = ask_oracle("scan/make_files.py", "read " + in_folder("turned1.jpg"));
  for (int orientation = 1; orientation <= 8; ++orientation) {
    const auto path = in_folder("turned" + std::to_string(orientation) + ".jpg");
    EXPECT_LT(worst(ask_oracle("scan/make_files.py", "read " + path), upright), kCodes) << orientation;
    EXPECT_LT(worst(nine_cells(read(path)), upright), kCodes) << orientation;
  }
}

TEST_F(Formats, SixteenBitsStaySixteenThroughAProfile) {
  const auto wide =
      vips_image(picture(3, 16))
          .icc_transform("p3", vips::VImage::option()->set("input_profile", "srgb")->set("depth", 16));
  wide.tiffsave(in_folder("deep.tif").c_str(), vips::VImage::option()->set("resunit", "inch"));
  const auto page = read(in_folder("deep.tif"));
  EXPECT_EQ(page.pixels.bits, 16);
  // More levels than eight bits have.
  std::set<std::uint16_t> levels(page.linear.begin(), page.linear.end());
  EXPECT_GT(levels.size(), 2000U);
  EXPECT_LT(largest_difference(page, expected_raster(picture(3, 16), kRows)), 0.02 * 65535);
}

TEST_F(Formats, TiledTiffs) {
  const auto image = vips_image(picture(3, 8));
  image.tiffsave(in_folder("tiled.tif").c_str(), vips::VImage::option()
                                                     ->set("tile", true)
                                                     ->set("tile_width", 64)
                                                     ->set("tile_height", 64)
                                                     ->set("resunit", "inch"));
  EXPECT_EQ(largest_difference(read(in_folder("tiled.tif")), expected_raster(picture(3, 8), kRows)), 0);
}

TEST_F(Formats, FloatingPointIsRefused) {
  vips_image(picture(3, 8)).cast(VIPS_FORMAT_FLOAT).tiffsave(in_folder("float.tif").c_str());
  expect_problem(in_folder("float.tif"), "not whole numbers");
}

// HEIC and AVIF thin out colour; the picture is smooth.
TEST_F(Formats, HeicAndAvif) {
  load_vips_module("heif", "VipsForeignLoadHeif");  // the writer lies in the same module
  const Picture p = picture(3, 8);
  for (const std::string name : {"a.heic", "a.avif"}) {
    const bool avif = name == "a.avif";
    vips_image(p).heifsave(
        in_folder(name).c_str(),
        vips::VImage::option()->set("Q", 95)->set(
            "compression", avif ? VIPS_FOREIGN_HEIF_COMPRESSION_AV1 : VIPS_FOREIGN_HEIF_COMPRESSION_HEVC));
    const auto page = read(in_folder(name), at_dpi(kDpi));
    EXPECT_LT(worst(nine_cells(page), nine_cells(expected_raster(p, kRows))), kCodes) << name;
  }
}

TEST_F(Formats, EveryPageOfATiffIsAScan) {
  make("pages");
  const auto names = pages_of(in_folder("two.tif"));
  ASSERT_TRUE(names.ok());
  ASSERT_EQ(*names, (std::vector<std::string>{in_folder("two.tif[1]"), in_folder("two.tif[2]")}));
  const auto first = nine_cells(read((*names)[0]));
  const auto second = nine_cells(read((*names)[1]));
  std::vector<double> mirrored;
  for (std::size_t row = 0; row < 3; ++row) {
    for (std::size_t column = 0; column < 3; ++column) {
      for (std::size_t c = 0; c < 3; ++c) mirrored.push_back(first[(row * 3 + 2 - column) * 3 + c]);
    }
  }
  EXPECT_LT(worst(second, mirrored), kCodes);
  EXPECT_GT(worst(second, first), 20);
  EXPECT_LT(worst(nine_cells(read(in_folder("two.tif"))), first), 1e-9);  // the first page
  EXPECT_EQ(*pages_of(in_folder("two.tif[2]")), std::vector<std::string>{in_folder("two.tif[2]")});
}

TEST_F(Formats, APreviewIsNoScan) {
  make("pages");
  EXPECT_EQ(*pages_of(in_folder("preview.tif")), std::vector<std::string>{in_folder("preview.tif")});
}

TEST_F(Formats, APageThatIsNotThereIsNamed) {
  make("pages");
  expect_problem(in_folder("two.tif[3]"), "cannot be read");
  expect_problem(write(picture(3, 8), "a.png") + "[2]", "no page 2");
  EXPECT_FALSE(pages_of(in_folder("missing.tif")).ok());
  EXPECT_FALSE(pages_of(in_folder("missing.tif[2]")).ok());
}

TEST_F(Formats, AFileMayHaveBracketsInItsName) {
  const auto path = write(picture(3, 8), "sheet[7].tif");
  EXPECT_EQ(*pages_of(path), std::vector<std::string>{path});
  EXPECT_EQ(largest_difference(read(path), expected_raster(picture(3, 8), kRows)), 0);
}

class Documents : public Formats {};

// The page's size says the resolution, and the picture's own pixels come out: the JPEG's to the last bit.
TEST_F(Documents, AStoredJpegIsReadAsItIs) {
  make("documents");
  const auto page = read(in_folder("dct.pdf"));
  EXPECT_EQ(largest_difference(page, read(in_folder("a.jpg"))), 0);
  EXPECT_NEAR(page.tag_dpi_across, 300, 0.01);
  EXPECT_NEAR(page.tag_dpi_along, 300, 0.01);
}

TEST_F(Documents, OtherPicturesAreDrawnPixelOnPixel) {
  make("documents");
  const auto page = read(in_folder("flate.pdf"));
  EXPECT_EQ(page.width_px, kWidth);
  EXPECT_EQ(page.height_px, kHeight);
  EXPECT_LE(largest_difference(page, read(in_folder("a.png"))), 1);
  EXPECT_NEAR(page.tag_dpi_across, 300, 0.01);
  const auto bilevel = read(in_folder("bilevel.pdf"));
  const auto png = read(in_folder("a1.png"));
  ASSERT_EQ(bilevel.linear.size(), png.linear.size());
  EXPECT_LE(largest_difference(bilevel, png), 1);
}

TEST_F(Documents, PagesAreTurnedAsTheDocumentSays) {
  make("documents");
  const auto upright = nine_cells(read(in_folder("a.jpg")));
  // Cell (row, column) of a page shown turned clockwise came from here.
  const auto source = [](int turn, std::size_t row, std::size_t column) {
    if (turn == 90) return std::pair{2 - column, row};
    if (turn == 180) return std::pair{2 - row, 2 - column};
    return std::pair{column, 2 - row};
  };
  for (const int turn : {90, 180, 270}) {
    const auto page = read(in_folder("dct" + std::to_string(turn) + ".pdf"));
    EXPECT_EQ(page.width_px, turn == 180 ? kWidth : kHeight);
    std::vector<double> expected;
    for (std::size_t row = 0; row < 3; ++row) {
      for (std::size_t column = 0; column < 3; ++column) {
        const auto [r, c] = source(turn, row, column);
        for (std::size_t k = 0; k < 3; ++k) expected.push_back(upright[(r * 3 + c) * 3 + k]);
      }
    }
    EXPECT_LT(worst(nine_cells(page), expected), kCodes) << turn;
  }
}

TEST_F(Documents, EveryPageIsAScan) {
  make("documents");
  const auto names = pages_of(in_folder("two.pdf"));
  ASSERT_TRUE(names.ok());
  ASSERT_EQ(names->size(), 2U);
  EXPECT_EQ((*names)[1], in_folder("two.pdf[2]"));
  EXPECT_LE(largest_difference(read((*names)[1]), read(in_folder("a.png"))), 1);
  expect_problem(in_folder("two.pdf[3]"), "no page 3");
}

TEST_F(Documents, ResamplingIsSaid) {
  make("documents");
  const auto page = read(in_folder("inset.pdf"));
  ASSERT_FALSE(page.notes.empty());
  EXPECT_NE(page.notes[0].find("resampled once"), std::string::npos);
}

TEST_F(Documents, DrawingsAndDamageAreRefused) {
  make("documents");
  expect_problem(cut(in_folder("dct.pdf"), 0.5), "cannot be read as a PDF");
  expect_problem(write_bytes("%PDF-1.4\n%nothing more\n", "bare.pdf"), "cannot be read as a PDF");
}

}  // namespace
}  // namespace scrapetrace::scan
