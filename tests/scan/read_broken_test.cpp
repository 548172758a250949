// Files that are no scans, or not whole ones: a clear word about each.

#include "pictures.h"

namespace scrapetrace::scan {
namespace {

class ReadBroken : public ReadPageTest {};

TEST_F(ReadBroken, SaysWhatIsWrongWithAFile) {
  expect_problem(in_folder("missing.tif"), "no such file");
  expect_problem(folder_.string(), "is a folder");
  expect_problem(write_bytes("", "empty.tif"), "is empty");
  expect_problem(write_bytes("This is a letter, not a scan.\n", "letter.tif"), "TIFF, PNG, JPEG, WebP");
  std::mt19937 random(3);
  std::string noise;
  for (int i = 0; i < 5000; ++i) noise.push_back(static_cast<char>(random()));
  for (const std::string name : {"noise.png", "noise.jpg", "noise.tif", "noise"}) {
    expect_problem(write_bytes(noise, name), "TIFF, PNG, JPEG, WebP");
  }
}

// Images, but drawings or moving pictures: what libvips makes of them is no scan.
TEST_F(ReadBroken, TakesScansOnly) {
  expect_problem(write_bytes("<svg xmlns='http://www.w3.org/2000/svg' width='900' height='900'/>", "a.svg"),
                 "TIFF, PNG, JPEG, WebP");
  expect_problem(write_bytes("P2 2 2 255\n0 1 2 3\n", "a.pgm"), "TIFF, PNG, JPEG, WebP");
  // The content counts, not the name.
  const auto path = write(picture(3, 8), "a.png");
  fs::rename(path, in_folder("b.tif"));
  EXPECT_EQ(largest_difference(read(in_folder("b.tif")), expected_raster(picture(3, 8), kRows)), 0);
}

TEST_F(ReadBroken, RefusesFilesThatWereCutShort) {
  const Picture p = picture(3, 8);
  vips_image(p).webpsave(in_folder("a.webp").c_str(), vips::VImage::option()->set("Q", 90));
  for (const auto& path : {write(p, "a.tif"), write(p, "a.png"), write(p, "a.jpg"), in_folder("a.webp")}) {
    for (const double share : {0.02, 0.5, 0.9}) expect_problem(cut(path, share), "again");
  }
}

// The decoder goes on after a wrong bit and gives stripes, with a mere warning; found by spoiling scans.
TEST_F(ReadBroken, RefusesAJpegThatIsDecodedWithAWarning) {
  std::ifstream file(std::string(SCRAPETRACE_SOURCE_DIR) + "/fixtures/scans/baseline.jpg", std::ios::binary);
  const std::string whole((std::istreambuf_iterator<char>(file)), {});
  EXPECT_TRUE(read_page(write_bytes(whole, "whole.jpg"), {}).ok());
  for (const std::size_t at : {798U, 812U, 1169U, 1218U}) {
    std::string bytes = whole;
    bytes.at(at) = static_cast<char>(bytes[at] ^ 0x10);
    expect_problem(write_bytes(bytes, "wrong.jpg"), "damaged");
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

TEST_F(ReadBroken, RefusesATiffWhoseLastStripsAreMissing) {
  const auto whole = read(write_bytes(tiff_with_directory_first(64), "whole.tif"));
  EXPECT_EQ(whole.width_px, 64);
  EXPECT_EQ(whole.height_px, 64);
  expect_problem(write_bytes(tiff_with_directory_first(40), "cut.tif"), "again");
}

TEST_F(ReadBroken, TellsHowManyChannelsItCannotUse) {
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
