#pragma once
// Pictures to write and read back, and a folder to do it in.

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <vector>
#include <vips/vips8>

#include "scan/block_sums.h"
#include "scan/read_page.h"
#include "scan/vips_session.h"
#include "scan/write_image.h"
#include "support/oracle.h"

namespace scrapetrace::scan {

namespace fs = std::filesystem;
using scrapetrace::testing::ask_oracle;

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
inline Picture picture(int bands, int bits) {
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

inline PageRaster expected_raster(const Picture& p, int rows_per_block) {
  PageRaster page;
  page.width_px = p.width;
  page.height_px = p.height;
  page.rows_per_block = rows_per_block;
  BlockSums sums(page, p.bands, p.bits / 8);
  for (int v = 0; v < p.height; ++v) {
    sums.add_row(p.bytes.data() + static_cast<std::size_t>(v * p.width) * p.pixel_bytes());
  }
  return page;
}

inline double largest_difference(const PageRaster& a, const PageRaster& b) {
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

class ReadPageTest : public ::testing::Test {
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

inline ReadOptions at_dpi(double dpi) {
  ReadOptions options;
  options.dpi = dpi;
  return options;
}
inline ReadOptions for_sheet(double width_mm, double length_mm) {
  ReadOptions options;
  options.sheet_mm = {width_mm, length_mm};
  return options;
}
inline ReadOptions for_drum(double width_mm) {
  ReadOptions options;
  options.drum_width_mm = width_mm;
  return options;
}

inline vips::VImage vips_image(const Picture& p) {
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

}  // namespace scrapetrace::scan
