// PNGs read without libvips: the same bytes as libvips gives, and nothing from files that are not whole.

#include "directly.h"

namespace scrapetrace::scan {
namespace {

class DirectPng : public ReadPageTest {
 protected:
  std::vector<std::string> make(const std::string& kind) {
    EXPECT_TRUE(ask_oracle("scan/make_pngs.py", kind + " " + folder_.string()).empty());
    std::vector<std::string> files;
    for (const auto& entry : fs::directory_iterator(folder_)) files.push_back(entry.path().string());
    return files;
  }
};

TEST_F(DirectPng, GivesTheBytesThatLibvipsGives) {
  const auto files = make("good");
  EXPECT_GT(files.size(), 60U);
  for (const std::string& path : files) {
    DirectPage page(path);
    ASSERT_NE(page.decoder, nullptr) << path;
    EXPECT_TRUE(page.pixels(1, 1, false) == vips_pixels(path)) << path;
  }
}

TEST_F(DirectPng, ThatOtherProgramsWrite) {
  for (const int bands : {1, 3}) {
    for (const int bits : {8, 16}) {
      const auto path = write(picture(bands, bits), "a.png");
      DirectPage page(path);
      ASSERT_NE(page.decoder, nullptr) << bands << bits;
      EXPECT_TRUE(page.pixels(1, 1, false) == picture(bands, bits).bytes) << bands << bits;
    }
  }
}

// What libvips makes of them is its own: some it mends. Here they are not taken for whole.
TEST_F(DirectPng, NothingFromFilesThatAreNotWhole) {
  const auto files = make("bad");
  EXPECT_GT(files.size(), 15U);
  for (const std::string& path : files) {
    DirectPage page(path);
    if (page.decoder) {
      EXPECT_TRUE(page.pixels(1, 1, false).empty()) << path;
    }
  }
  for (const std::string name : {"sum_of_chunk", "half_a_stream", "too_few_rows", "filter_5", "wrong_bits",
                                 "not_deflate", "interrupted", "long_chunk", "cut_300"})
    expect_problem(in_folder(name + ".png"), "again");
  take_vips_error();
}

TEST_F(DirectPng, LeavesTheRestToLibvips) {
  const auto goes_direct = [&](const vips::VImage& image, vips::VOption* options) {
    image.pngsave(in_folder("a.png").c_str(), options);
    return DirectPage(in_folder("a.png")).decoder != nullptr;
  };
  const auto image = vips_image(picture(3, 8));
  EXPECT_TRUE(goes_direct(image, nullptr));
  EXPECT_FALSE(goes_direct(image, vips::VImage::option()->set("interlace", true)));
  EXPECT_FALSE(goes_direct(image, vips::VImage::option()->set("palette", true)));
  EXPECT_FALSE(goes_direct(image.bandjoin(255), nullptr));
  EXPECT_FALSE(goes_direct(vips_image(picture(1, 8)), vips::VImage::option()->set("bitdepth", 4)));
}

}  // namespace
}  // namespace scrapetrace::scan
