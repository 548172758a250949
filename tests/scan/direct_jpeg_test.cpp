// JPEGs read without libvips: the same bytes as libvips gives, wherever reading begins, and nothing from
// files that libjpeg so much as complains of.

#include "directly.h"

// clang-format off: it needs <cstdio> before it
#include <jpeglib.h>
// clang-format on

namespace scrapetrace::scan {
namespace {

struct Coding {
  int quality = 85;
  std::array<int, 2> luma_sampling{1, 1};  // across and along; colour has 1 and 1
  unsigned restart_interval = 0;           // in units of coding
  bool optimised = false;
  bool rgb = false;  // as RGB, not as luminance and colour differences
};

std::string write_jpeg(const std::string& path, const Picture& p, const Coding& how) {
  jpeg_compress_struct info;
  jpeg_error_mgr errors;
  info.err = jpeg_std_error(&errors);
  jpeg_create_compress(&info);
  std::FILE* file = std::fopen(path.c_str(), "wb");
  jpeg_stdio_dest(&info, file);
  info.image_width = static_cast<JDIMENSION>(p.width);
  info.image_height = static_cast<JDIMENSION>(p.height);
  info.input_components = p.bands;
  info.in_color_space = p.bands == 1 ? JCS_GRAYSCALE : JCS_RGB;
  jpeg_set_defaults(&info);
  if (how.rgb) jpeg_set_colorspace(&info, JCS_RGB);
  jpeg_set_quality(&info, how.quality, TRUE);
  info.comp_info[0].h_samp_factor = how.luma_sampling[0];
  info.comp_info[0].v_samp_factor = how.luma_sampling[1];
  info.restart_interval = how.restart_interval;
  info.optimize_coding = how.optimised ? TRUE : FALSE;
  jpeg_start_compress(&info, TRUE);
  std::vector<std::uint8_t> bytes = p.bytes;
  const std::size_t row_bytes = static_cast<std::size_t>(p.width * p.bands);
  for (int v = 0; v < p.height; ++v) {
    JSAMPROW row = bytes.data() + static_cast<std::size_t>(v) * row_bytes;
    jpeg_write_scanlines(&info, &row, 1);
  }
  jpeg_finish_compress(&info);
  jpeg_destroy_compress(&info);
  std::fclose(file);
  return path;
}

class DirectJpeg : public ReadPageTest {
 protected:
  // From its top, and from many a row further down.
  void expect_same(const Picture& p, const Coding& how) {
    const auto path = write_jpeg(in_folder("a.jpg"), p, how);
    SCOPED_TRACE(std::to_string(p.width) + " x " + std::to_string(p.height) + ", sampling " +
                 std::to_string(how.luma_sampling[0]) + " " + std::to_string(how.luma_sampling[1]));
    const auto theirs = vips_pixels(path);
    DirectPage page(path);
    ASSERT_NE(page.decoder, nullptr);
    for (const int from :
         {0, 1, 2, 7, 8, 9, 15, 16, 17, 31, 33, 48, 64, 100, 177, p.height - 9, p.height - 1}) {
      if (from < 0 || from >= p.height) continue;
      std::vector<std::uint8_t> out;
      EXPECT_TRUE(page.decoder->decode(from, p.height, [&](const Rows& rows) {
        out.insert(out.end(), rows.first, rows.first + rows.count * rows.stride);
      }));
      const auto begin = static_cast<std::ptrdiff_t>(page.row_bytes()) * from;
      EXPECT_TRUE(std::equal(out.begin(), out.end(), theirs.begin() + begin, theirs.end())) << from;
    }
  }
};

constexpr std::array<std::array<int, 2>, 6> kSamplings{{{1, 1}, {2, 1}, {1, 2}, {2, 2}, {4, 1}, {4, 2}}};

TEST_F(DirectJpeg, GivesTheBytesThatLibvipsGives) {
  for (const auto& sampling : kSamplings) {
    for (const int height : {1, 2, 16, 17, 64, 201}) {
      for (const int width : {1, 7, 16, 35, 113}) {
        const Picture p = remapped(picture(3, 8), width, height, [](int u, int v) {
          return std::pair{u % kWidth, v % kHeight};
        });
        expect_same(p, {85, sampling});
      }
    }
  }
}

TEST_F(DirectJpeg, HoweverItIsCoded) {
  for (const auto& sampling : kSamplings) {
    for (const unsigned restart : {1U, 5U, 30U}) expect_same(picture(3, 8), {85, sampling, restart});
    for (const int quality : {1, 50, 100}) expect_same(picture(3, 8), {quality, sampling, 0, true});
  }
  expect_same(picture(1, 8), {});
  expect_same(picture(1, 8), {30, {1, 1}, 3});
  expect_same(picture(3, 8), {90, {1, 1}, 0, false, true});
}

TEST_F(DirectJpeg, InStretches) {
  const Picture tall = remapped(picture(3, 8), 60, 1600, [](int u, int v) {
    return std::pair{u, v % kHeight};
  });
  for (const auto& sampling : kSamplings) {
    expect_same_directly(write_jpeg(in_folder("a.jpg"), tall, {85, sampling}));
    EXPECT_EQ(DirectPage(in_folder("a.jpg")).decoder->stretches(16, 3).size(), 3U);
  }
}

TEST_F(DirectJpeg, ReadsAPageOfADocument) {
  ASSERT_TRUE(ask_oracle("scan/make_files.py", "documents " + folder_.string()).empty());
  DirectPage page(in_folder("dct.pdf"));
  ASSERT_NE(page.decoder, nullptr);
  EXPECT_TRUE(page.pixels(1, 1, false) == vips_pixels(in_folder("a.jpg")));
  EXPECT_EQ(DirectPage(in_folder("flate.pdf")).decoder, nullptr);
}

TEST_F(DirectJpeg, NothingFromFilesThatAreNotWhole) {
  const Picture tall = remapped(picture(3, 8), 60, 1600, [](int u, int v) {
    return std::pair{u, v % kHeight};
  });
  const auto whole = write_jpeg(in_folder("a.jpg"), tall, {85, {2, 2}});
  for (const double share : {0.3, 0.6, 0.97}) {
    DirectPage page(cut(whole, share));
    ASSERT_NE(page.decoder, nullptr);
    EXPECT_TRUE(page.pixels(16, 1, false).empty());
    EXPECT_TRUE(page.pixels(16, 3, true).empty());
    expect_problem(cut(whole, share), "damaged");
  }
}

TEST_F(DirectJpeg, LeavesTheRestToLibvips) {
  const auto goes_direct = [&](const vips::VImage& image, vips::VOption* options) {
    image.jpegsave(in_folder("a.jpg").c_str(), options);
    return DirectPage(in_folder("a.jpg")).decoder != nullptr;
  };
  const auto image = vips_image(picture(3, 8));
  EXPECT_TRUE(goes_direct(image, nullptr));
  EXPECT_FALSE(goes_direct(image, vips::VImage::option()->set("interlace", true)));
  EXPECT_FALSE(goes_direct(image.icc_transform("cmyk", vips::VImage::option()->set("input_profile", "srgb")),
                           nullptr));
}

}  // namespace
}  // namespace scrapetrace::scan
