#pragma once
// A file's pixels as the decoders without libvips give them, and as libvips does.

#include "base/parallel.h"
#include "pictures.h"
#include "scan/decode_directly.h"
#include "scan/to_srgb_or_grey.h"

namespace scrapetrace::scan {

struct DirectPage {
  explicit DirectPage(const std::string& path, int index = 0) : file(*ScanFile::open(path, {})) {
    auto page = open_page(file, index, {});
    if (!page) return;
    opened = std::move(page).value();
    const VipsImage* stored = opened.image.get();
    plain = to_srgb_or_grey(opened.image, opened.notes) && opened.image.get() == stored;
    VipsImage* image = opened.image.get();
    size = {vips_image_get_width(image), vips_image_get_height(image), vips_image_get_bands(image),
            image->BandFmt == VIPS_FORMAT_USHORT ? 2 : 1};
    if (plain) decoder = direct_decoder(file, index, opened, size);
  }
  [[nodiscard]] std::size_t row_bytes() const {
    return static_cast<std::size_t>(size.width_px) * static_cast<std::size_t>(size.bands * size.bytes);
  }
  // Stretch by stretch, the last first or several at a time; nothing when a stretch cannot be decoded.
  std::vector<std::uint8_t> pixels(int step_px, int threads, bool at_a_time) {
    std::vector<std::uint8_t> out(row_bytes() * static_cast<std::size_t>(size.height_px));
    std::vector<int> rows = decoder->stretches(step_px, threads);
    const std::size_t n = rows.size();
    rows.push_back(size.height_px);
    std::vector<int> whole(n, 0);
    for_each_part(n, at_a_time ? threads : 1, [&](std::size_t k) {
      const std::size_t i = n - 1 - k;
      EXPECT_EQ(rows[i] % step_px, 0);
      std::uint8_t* to = out.data() + static_cast<std::size_t>(rows[i]) * row_bytes();
      whole[i] = decoder->decode(rows[i], rows[i + 1], [&](const Rows& some) {
        for (int r = 0; r < some.count; ++r) to = std::copy_n(some.row<std::uint8_t>(r), row_bytes(), to);
      });
      if (whole[i] != 0) {
        EXPECT_EQ(to - out.data(), static_cast<std::ptrdiff_t>(row_bytes()) * rows[i + 1]);
      }
    });
    for (const int one : whole) {
      if (one == 0) return {};
    }
    return out;
  }

  ScanFile file;
  OpenedPage opened;
  StoredSize size;
  bool plain = false;
  std::unique_ptr<PageDecoder> decoder;
};

inline std::vector<std::uint8_t> vips_pixels(const std::string& path, int index = 0) {
  auto options = vips::VImage::option()->set("access", VIPS_ACCESS_SEQUENTIAL);
  if (index > 0) options->set("page", index);
  std::size_t bytes = 0;
  void* memory = vips::VImage::new_from_file(path.c_str(), options).write_to_memory(&bytes);
  const auto* first = static_cast<const std::uint8_t*>(memory);
  std::vector<std::uint8_t> out(first, first + bytes);
  g_free(memory);
  return out;
}

// Both ways give the same bytes, however the page is divided.
inline void expect_same_directly(const std::string& path, int index = 0) {
  SCOPED_TRACE(path + " page " + std::to_string(index));
  const auto theirs = vips_pixels(path, index);
  for (const int step : {1, 3, 16, 48}) {
    for (const int threads : {1, 2, 5}) {
      DirectPage page(path, index);
      ASSERT_NE(page.decoder, nullptr);
      EXPECT_TRUE(page.pixels(step, threads, false) == theirs) << step << " " << threads;
      EXPECT_TRUE(page.pixels(step, threads, true) == theirs) << step << " " << threads;
    }
  }
}

}  // namespace scrapetrace::scan
