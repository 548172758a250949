// Pixels that the caller holds give what a file of them gives: the files are written and read by libvips and
// the formats' own libraries.

#include "scan/pictures.h"
#include "scrapetrace/pixels.h"

namespace scrapetrace::scan {
namespace {

PixelView view_of(const Picture& p) {
  PixelView view;
  view.samples = p.bytes.data();
  view.width_px = p.width;
  view.height_px = p.height;
  view.channels = p.bands;
  view.bits = p.bits;
  view.dpi = kDpi;
  return view;
}

PageRaster taken(const PixelView& view, const ReadOptions& options = {}) {
  auto page = raster_from_pixels(view, options);
  if (page) return *page;
  ADD_FAILURE() << to_string(page.problems()[0]);
  return {};
}

void expect_same(const PageRaster& a, const PageRaster& b) {
  EXPECT_EQ(a.width_px, b.width_px);
  EXPECT_EQ(a.height_px, b.height_px);
  EXPECT_EQ(a.rows_per_block, b.rows_per_block);
  EXPECT_EQ(a.transposed, b.transposed);
  EXPECT_EQ(a.grey, b.grey);
  EXPECT_FALSE(a.linear.empty());
  EXPECT_TRUE(a.linear == b.linear);
  EXPECT_EQ(a.pixels.bits, b.pixels.bits);
  EXPECT_EQ(a.pixels.codes, b.pixels.codes);
  EXPECT_EQ(a.pixels.quantisation_sigma, b.pixels.quantisation_sigma);
  for (std::size_t k = 0; k < a.pixels.steps.size(); ++k) {
    EXPECT_EQ(a.pixels.steps[k].sum, b.pixels.steps[k].sum);
    EXPECT_EQ(a.pixels.steps[k].count, b.pixels.steps[k].count);
  }
  EXPECT_EQ(a.overview.width, b.overview.width);
  EXPECT_EQ(a.overview.transposed, b.overview.transposed);
  EXPECT_EQ(a.overview.flip_u, b.overview.flip_u);
  EXPECT_EQ(a.overview.flip_v, b.overview.flip_v);
  EXPECT_EQ(a.overview.grey, b.overview.grey);
}

class RasterFromPixels : public ReadPageTest {};

TEST_F(RasterFromPixels, IsWhatAFileOfThemGives) {
  for (const int bands : {1, 3}) {
    for (const int bits : {8, 16}) {
      SCOPED_TRACE(std::to_string(bands) + " channels of " + std::to_string(bits) + " bits");
      const Picture p = picture(bands, bits);
      ReadOptions options;
      options.overview = true;
      const PageRaster of_file = read(write(p, "whole.tif"), options);
      const PageRaster page = taken(view_of(p), options);
      expect_same(page, of_file);
      EXPECT_NEAR(page.tag_dpi_across, of_file.tag_dpi_across, 1e-3);
      EXPECT_NEAR(page.tag_dpi_along, kDpi, 1e-3);
      options.lead_edge = ImageSide::left;
      expect_same(taken(view_of(p), options), read(in_folder("whole.tif"), options));
    }
  }
}

TEST_F(RasterFromPixels, IsTheSameOnAnyNumberOfThreads) {
  const Picture p = picture(3, 8);
  ReadOptions options;
  options.overview = true;
  options.threads = 1;
  const PageRaster on_one = taken(view_of(p), options);
  options.threads = 5;
  expect_same(taken(view_of(p), options), on_one);
}

TEST_F(RasterFromPixels, TakesRowsWithGapsFromBelowAndAtOddAddresses) {
  for (const int bits : {8, 16}) {
    const Picture p = picture(3, bits);
    const auto row = static_cast<std::size_t>(p.width) * p.pixel_bytes();
    const std::size_t stride = row + 7;
    std::vector<std::uint8_t> upwards(1 + stride * static_cast<std::size_t>(p.height), 0xA5);
    for (std::size_t v = 0; v < static_cast<std::size_t>(p.height); ++v) {
      const std::size_t from_below = static_cast<std::size_t>(p.height) - 1 - v;
      std::copy_n(p.bytes.begin() + static_cast<std::ptrdiff_t>(v * row), row,
                  upwards.begin() + static_cast<std::ptrdiff_t>(1 + from_below * stride));
    }
    PixelView view = view_of(p);
    view.samples = upwards.data() + 1 + stride * static_cast<std::size_t>(p.height - 1);
    view.stride_bytes = -static_cast<std::ptrdiff_t>(stride);
    expect_same(taken(view), taken(view_of(p)));
  }
}

TEST_F(RasterFromPixels, FollowsAnOrientation) {
  const Picture shown = picture(3, 8);
  // Exif 6 (CIPA DC-008, orientation): the first stored row is the shown picture's right side, the first
  // stored column its top.
  const Picture stored = remapped(shown, shown.height, shown.width, [&](int u, int v) {
    return std::pair{shown.width - 1 - v, u};
  });
  PixelView view = view_of(stored);
  view.orientation = 6;
  const PageRaster page = taken(view);
  EXPECT_EQ(largest_difference(page, taken(view_of(shown))), 0);
}

TEST_F(RasterFromPixels, LaysAlphaOnWhite) {
  Picture p = picture(4, 8);
  const PageRaster of_file = read(write(p, "alpha.png"));
  // libvips and we may round a code value differently; where it is steepest one is 600 of 65535.
  EXPECT_LT(largest_difference(taken(view_of(p)), of_file), 700);
  const Picture opaque = picture(3, 16);
  Picture with_alpha = opaque;
  with_alpha.bands = 4;
  with_alpha.bytes.clear();
  for (std::size_t at = 0; at < opaque.bytes.size(); at += 6) {
    with_alpha.bytes.insert(with_alpha.bytes.end(), opaque.bytes.begin() + static_cast<std::ptrdiff_t>(at),
                            opaque.bytes.begin() + static_cast<std::ptrdiff_t>(at) + 6);
    with_alpha.bytes.insert(with_alpha.bytes.end(), {0xFF, 0xFF});
  }
  expect_same(taken(view_of(with_alpha)), taken(view_of(opaque)));
}

TEST_F(RasterFromPixels, CountsALossyCoderIn) {
  PixelView view = view_of(picture(3, 8));
  const Picture p = picture(3, 8);
  view.samples = p.bytes.data();
  EXPECT_EQ(taken(view).pixels.quantisation_sigma, 0);
  view.lossy = true;
  EXPECT_GT(taken(view).pixels.quantisation_sigma, 0);
}

TEST_F(RasterFromPixels, SaysWhatIsWrongWithAView) {
  const Picture p = picture(3, 8);
  const auto complaint = [&](auto spoil) {
    PixelView view = view_of(p);
    view.name = "job 7";
    spoil(view);
    const auto page = raster_from_pixels(view, {});
    const auto flat = flatten_pixels(view, {}, {});
    EXPECT_FALSE(flat);
    if (page) return std::string("taken");
    EXPECT_EQ(page.problems()[0].file, "job 7");
    EXPECT_EQ(page.problems()[0].what, flat.problems()[0].what);
    return page.problems()[0].what;
  };
  EXPECT_EQ(complaint([](PixelView& v) { v.samples = nullptr; }),
            "has no samples; the topmost row's address is needed");
  EXPECT_EQ(complaint([](PixelView& v) { v.width_px = 0; }), "width_px is 0; at least 1 is needed");
  EXPECT_EQ(complaint([](PixelView& v) { v.height_px = -3; }), "height_px is -3; at least 1 is needed");
  EXPECT_EQ(complaint([](PixelView& v) { v.channels = 2; }),
            "channels is 2; 1 (grey), 3 (RGB) and 4 (RGB and alpha) are taken");
  EXPECT_EQ(complaint([](PixelView& v) { v.bits = 12; }), "bits is 12; 8 and 16 are taken");
  EXPECT_EQ(complaint([](PixelView& v) { v.stride_bytes = 719; }),
            "stride_bytes is 719; a row has 720, and 0 stands for rows without a gap");
  EXPECT_NE(complaint([](PixelView& v) { v.dpi = 20; }).find("50 to 9600 are taken"), std::string::npos);
  EXPECT_NE(complaint([](PixelView& v) { v.dpi = NAN; }).find("50 to 9600 are taken"), std::string::npos);
  EXPECT_NE(complaint([](PixelView& v) { v.orientation = 9; }).find("1 to 8"), std::string::npos);
  EXPECT_NE(complaint([](PixelView& v) {
              v.width_px = 200001;
              v.channels = 1;
            }).find("at most 200000 px"),
            std::string::npos);
}

}  // namespace
}  // namespace scrapetrace::scan
