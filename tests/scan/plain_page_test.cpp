// Headers read without libvips: in every field what libvips says of the file, and nothing of files that hold
// more.

#include <tiffio.h>

#include <functional>

#include "pictures.h"
#include "scan/open_plain_page.h"
#include "scan/page_name.h"
#include "scan/to_srgb_or_grey.h"

namespace scrapetrace::scan {
namespace {

class PlainPages : public ReadPageTest {
 protected:
  static std::optional<PlainPage> plain(const std::string& path, int index = 0) {
    return open_plain_page(*ScanFile::open(path, {}), index, {});
  }
  static void expect_same(const std::string& path, int index = 0) {
    SCOPED_TRACE(path + " page " + std::to_string(index));
    const auto ours = plain(path, index);
    ASSERT_TRUE(ours);
    const auto file = ScanFile::open(path, {});
    auto found = open_page(*file, index, {});
    ASSERT_TRUE(found.ok());
    OpenedPage theirs = std::move(found).value();
    VipsImage* const stored = theirs.image.get();
    ASSERT_TRUE(to_srgb_or_grey(theirs.image, theirs.notes));
    EXPECT_EQ(theirs.image.get(), stored);
    const StoredSize size{vips_image_get_width(stored), vips_image_get_height(stored),
                          vips_image_get_bands(stored), stored->BandFmt == VIPS_FORMAT_USHORT ? 2 : 1};
    EXPECT_TRUE(ours->size == size);
    EXPECT_EQ(ours->opened.format, theirs.format);
    EXPECT_EQ(ours->opened.orientation, theirs.orientation);
    EXPECT_EQ(ours->opened.tags.across, theirs.tags.across);
    EXPECT_EQ(ours->opened.tags.along, theirs.tags.along);
    EXPECT_EQ(ours->opened.tags.conflict, theirs.tags.conflict);
    EXPECT_EQ(ours->opened.notes, theirs.notes);
    ASSERT_EQ(ours->opened.jpeg.has_value(), theirs.jpeg.has_value());
    if (!ours->opened.jpeg) return;
    EXPECT_EQ(ours->opened.jpeg->quantisation_sigma, theirs.jpeg->quantisation_sigma);
    EXPECT_EQ(ours->opened.jpeg->thinned, theirs.jpeg->thinned);
  }
  // A grey page of 20 x 30 pixels with the tags that `set` sets.
  std::string tiff_with(const std::function<void(TIFF*)>& set, int pages = 1) {
    TIFF* tiff = TIFFOpen(in_folder("a.tif").c_str(), "w");
    for (int page = 0; page < pages; ++page) {
      TIFFSetField(tiff, TIFFTAG_IMAGEWIDTH, 20);
      TIFFSetField(tiff, TIFFTAG_IMAGELENGTH, 30 + page);
      TIFFSetField(tiff, TIFFTAG_SAMPLESPERPIXEL, 1);
      TIFFSetField(tiff, TIFFTAG_BITSPERSAMPLE, 8);
      TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_MINISBLACK);
      set(tiff);
      std::array<std::uint8_t, 20> row{};
      for (std::uint32_t v = 0; v < 30U + static_cast<std::uint32_t>(page); ++v)
        TIFFWriteScanline(tiff, row.data(), v, 0);
      TIFFWriteDirectory(tiff);
    }
    TIFFClose(tiff);
    return in_folder("a.tif");
  }
  // `density`: of a JFIF header, its unit and two numbers; empty: without one.
  std::string jpeg(const Picture& p, const std::string& density = {}) {
    auto image = vips_image(p);
    if (p.bands == 1)
      image = image.copy(vips::VImage::option()->set("interpretation", VIPS_INTERPRETATION_B_W));
    image.jpegsave(in_folder("a.jpg").c_str(), vips::VImage::option()->set("strip", true));
    if (density.empty()) return in_folder("a.jpg");
    using namespace std::string_literals;
    std::ifstream whole(in_folder("a.jpg"), std::ios::binary);
    std::string bytes((std::istreambuf_iterator<char>(whole)), {});
    bytes.insert(2, "\xff\xe0\0\x10JFIF\0\1\1"s + density + "\0\0"s);
    return write_bytes(bytes, "b.jpg");
  }
};

TEST_F(PlainPages, TiffsSayWhatTheySayToLibvips) {
  for (const int bands : {1, 3}) {
    for (const int bits : {8, 16}) {
      for (const auto coding : {TiffCompression::none, TiffCompression::lzw, TiffCompression::deflate}) {
        ImageOptions options;
        options.tiff_compression = coding;
        expect_same(write(picture(bands, bits), "b.tif", options));
      }
    }
  }
  for (int orientation = 1; orientation <= 8; ++orientation) {
    auto image = vips_image(picture(3, 8)).copy(vips::VImage::option()->set("yres", 600 / 25.4));
    image.set("orientation", orientation);
    image.tiffsave(in_folder("b.tif").c_str());
    expect_same(in_folder("b.tif"));
  }
}

TEST_F(PlainPages, WithTheResolutionOfTiffsToTheLastBit) {
  std::mt19937 random(3);
  for (int k = 0; k < 300; ++k) {
    const double across = 60.0 + static_cast<double>(random() % 500'000) / 1000;
    const double along = across + static_cast<double>(random() % 3) / 7;
    const int unit = 1 + static_cast<int>(random() % 3);
    expect_same(tiff_with([&](TIFF* tiff) {
      TIFFSetField(tiff, TIFFTAG_XRESOLUTION, across);
      TIFFSetField(tiff, TIFFTAG_YRESOLUTION, along);
      if (k % 5 != 0) TIFFSetField(tiff, TIFFTAG_RESOLUTIONUNIT, unit);
    }));
  }
  expect_same(tiff_with([](TIFF*) {}));
  expect_same(tiff_with([](TIFF* tiff) { TIFFSetField(tiff, TIFFTAG_XRESOLUTION, 300.0); }));
  expect_same(tiff_with([](TIFF* tiff) { TIFFSetField(tiff, TIFFTAG_RESOLUTIONUNIT, RESUNIT_CENTIMETER); }));
}

TEST_F(PlainPages, WordsInTiffsChangeNothing) {
  expect_same(tiff_with([](TIFF* tiff) {
    TIFFSetField(tiff, TIFFTAG_SOFTWARE, "a scanner's program");
    TIFFSetField(tiff, TIFFTAG_IMAGEDESCRIPTION, "a sheet");
    TIFFSetField(tiff, TIFFTAG_MAKE, "nobody");
    TIFFSetField(tiff, TIFFTAG_DATETIME, "2024:01:02 03:04:05");
    TIFFSetField(tiff, TIFFTAG_SUBFILETYPE, FILETYPE_PAGE);
    TIFFSetField(tiff, TIFFTAG_PAGENUMBER, 0, 1);
  }));
  const std::string profile(200, 'p');
  EXPECT_FALSE(plain(tiff_with([&](TIFF* tiff) {
    TIFFSetField(tiff, TIFFTAG_ICCPROFILE, static_cast<std::uint32_t>(profile.size()), profile.data());
  })));
  EXPECT_FALSE(plain(tiff_with([&](TIFF* tiff) {
    TIFFSetField(tiff, TIFFTAG_XMLPACKET, static_cast<std::uint32_t>(profile.size()), profile.data());
  })));
  EXPECT_FALSE(plain(tiff_with([](TIFF* tiff) { TIFFSetField(tiff, TIFFTAG_PHOTOMETRIC, 0); })));
  vips_image(picture(3, 8)).tiffsave(in_folder("b.tif").c_str(), vips::VImage::option()->set("tile", true));
  EXPECT_FALSE(plain(in_folder("b.tif")));
}

TEST_F(PlainPages, EveryPageOfATiff) {
  const auto path = tiff_with([](TIFF*) {}, 4);
  for (int index = 0; index < 4; ++index) expect_same(path, index);
  EXPECT_FALSE(plain(path, 4));
  const auto file = ScanFile::open(path, {});
  const auto sizes = plain_tiff_sizes(*file, 4);
  ASSERT_TRUE(sizes);
  ASSERT_EQ(static_cast<int>(sizes->size()), tiff_pages(*file));
  for (int index = 0; index < 4; ++index)
    EXPECT_EQ((*sizes)[static_cast<std::size_t>(index)], page_size(*file, index));
  EXPECT_FALSE(plain_tiff_sizes(*file, 3));
  ReadLimits few;
  few.pages = 3;
  const auto named = pages_of(path, few);
  ASSERT_FALSE(named.ok());
  EXPECT_NE(named.problems().front().what.find("has 4 pages"), std::string::npos);
}

TEST_F(PlainPages, PngsSayWhatTheySayToLibvips) {
  for (const int bands : {1, 3}) {
    for (const int bits : {8, 16}) {
      for (const double dpi : {72.0, 300.0, 609.6, 1200.0}) {
        ImageOptions options;
        options.dpi = dpi;
        expect_same(write(picture(bands, bits), "b.png", options));
      }
    }
  }
  vips_image(picture(3, 8))
      .copy(vips::VImage::option()->set("yres", 600 / 25.4))
      .pngsave(in_folder("b.png").c_str());
  expect_same(in_folder("b.png"));
}

// By hand and by Pillow, with and without chunks that mean something.
TEST_F(PlainPages, PngsWithOtherChunks) {
  fs::create_directories(folder_ / "pngs");
  ASSERT_TRUE(ask_oracle("scan/make_pngs.py", "chunks " + in_folder("pngs")).empty());
  int alike = 0;
  for (const auto& entry : fs::directory_iterator(folder_ / "pngs")) {
    const std::string name = entry.path().filename().string();
    if (name.starts_with("plain")) {
      expect_same(entry.path().string());
      ++alike;
    } else {
      EXPECT_FALSE(plain(entry.path().string())) << name;
    }
  }
  EXPECT_GT(alike, 7);
}

TEST_F(PlainPages, JpegsSayWhatTheySayToLibvips) {
  using namespace std::string_literals;
  for (const int bands : {1, 3}) {
    expect_same(jpeg(picture(bands, 8)));
    for (const std::string& density :
         {"\0\1\x2c\1\x2c"s, "\1\1\x2c\1\x2c"s, "\1\1\x2c\2\x58"s, "\1\0\x48\0\x48"s, "\1\1\x2c\0\1"s,
          "\2\0\x76\0\x76"s, "\2\0\0\0\0"s, "\3\1\x2c\1\x2c"s})
      expect_same(jpeg(picture(bands, 8), density));
  }
}

TEST_F(PlainPages, JpegsThatHoldMoreAreLeftToLibvips) {
  const auto image = vips_image(picture(3, 8));
  const auto is_plain = [&](vips::VOption* options) {
    image.jpegsave(in_folder("a.jpg").c_str(), options->set("strip", true));
    return plain(in_folder("a.jpg")).has_value();
  };
  EXPECT_TRUE(is_plain(vips::VImage::option()));
  EXPECT_FALSE(is_plain(vips::VImage::option()->set("interlace", true)));
  image.jpegsave(in_folder("profile.jpg").c_str(), vips::VImage::option()->set("profile", "srgb"));
  EXPECT_FALSE(plain(in_folder("profile.jpg")));
}

TEST_F(PlainPages, WithExifAsScannersWriteIt) {
  for (const double dpi : {72.0, 300.0, 609.6}) {
    ImageOptions options;
    options.dpi = dpi;
    expect_same(write(picture(3, 8), "b.jpg", options));
  }
  for (int orientation = 1; orientation <= 8; ++orientation) {
    auto image = vips_image(picture(3, 8)).copy(vips::VImage::option()->set("yres", 600 / 25.4));
    image.set("orientation", orientation);
    image.jpegsave(in_folder("b.jpg").c_str());
    expect_same(in_folder("b.jpg"));
  }
  ASSERT_TRUE(ask_oracle("scan/make_files.py", "densities " + folder_.string()).empty());
  for (const char* name : {"agree.jpg", "contradict.jpg", "placeholder.jpg"}) expect_same(in_folder(name));
}

// A byte of the Exif data changed: it is taken for plain only where libvips says the same.
TEST_F(PlainPages, WithExifThatIsDamaged) {
  auto image = vips_image(picture(1, 8)).extract_area(0, 0, 16, 16);
  image.set("orientation", 6);
  image.jpegsave(in_folder("a.jpg").c_str());
  std::ifstream file(in_folder("a.jpg"), std::ios::binary);
  const std::string whole((std::istreambuf_iterator<char>(file)), {});
  const std::size_t at = whole.find("Exif");
  ASSERT_NE(at, std::string::npos);
  const std::size_t size = static_cast<std::uint8_t>(whole[at - 1]);
  std::mt19937 random(5);
  int taken = 0;
  for (int k = 0; k < 1500; ++k) {
    std::string bytes = whole;
    bytes[at + random() % (size - 2)] = static_cast<char>(random() % 3 == 0 ? random() % 256 : random() % 16);
    if (!plain(write_bytes(bytes, "b.jpg"))) continue;
    expect_same(in_folder("b.jpg"));
    ++taken;
  }
  EXPECT_GT(taken, 200);
  EXPECT_LT(taken, 1400);
  take_vips_error();
}

TEST_F(PlainPages, NothingOfWhatIsTooLargeOrCutShort) {
  const auto path = write(picture(3, 8), "a.png");
  ReadLimits limits;
  limits.megapixels = 0.01;
  EXPECT_FALSE(open_plain_page(*ScanFile::open(path, {}), 0, limits));
  EXPECT_FALSE(plain(path, 1));
  for (const char* name : {"a.tif", "a.png", "a.jpg"})
    EXPECT_FALSE(plain(cut(write(picture(3, 8), name), 0.0001))) << name;
}

}  // namespace
}  // namespace scrapetrace::scan
