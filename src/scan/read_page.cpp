#include "scan/read_page.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "scan/by_libvips.h"
#include "scan/open_page.h"
#include "scan/open_plain_page.h"
#include "scan/page_name.h"
#include "scan/page_pixels.h"
#include "scan/raster_plan.h"
#include "scan/read_page_into.h"
#include "scan/to_srgb_or_grey.h"

namespace scrapetrace::scan {

namespace {

// From the stored image to the raster: first the orientation tag (Exif 5 to 8 transpose; 2, 3, 6 and 7 flip
// columns; 3, 4, 7 and 8 flip rows), then the transposition of an image that lies across.
ReadingOrder reading_order(int orientation, bool transposed) {
  const bool from_right = orientation == 2 || orientation == 3 || orientation == 6 || orientation == 7;
  const bool from_bottom = orientation == 3 || orientation == 4 || orientation == 7 || orientation == 8;
  return {(orientation > 4) != transposed, transposed ? from_bottom : from_right,
          transposed ? from_right : from_bottom};
}

// WebP's container names the lossless codec's chunk (RFC 9649).
bool lossless_webp(const ScanFile& file) {
  return file.first_bytes(1024).find("VP8L") != std::string::npos;
}

// Lossy coders without readable tables are taken for JPEG of quality 90.
double rounding_of(const ScanFile& file, const OpenedPage& opened) {
  constexpr double kUnknownCoder = 4;
  if (opened.jpeg) return opened.jpeg->quantisation_sigma;
  const bool lossy = opened.format == Format::heif || (opened.format == Format::webp && !lossless_webp(file));
  return lossy ? kUnknownCoder : 0;
}

PageRaster sized_raster(OpenedPage& opened, const StoredSize& size, const ReadOptions& options) {
  PageRaster page;
  int width = size.width_px;
  int height = size.height_px;
  ResolutionTags& tags = opened.tags;
  if (opened.orientation > 4) std::swap(width, height), std::swap(tags.across, tags.along);
  page.transposed = lies_across(width, height, options.dpi > 0 ? options.dpi : tags.across, options);
  if (page.transposed) std::swap(width, height), std::swap(tags.across, tags.along);
  page.width_px = width;
  page.height_px = height;
  page.tag_dpi_across = tags.across;
  page.tag_dpi_along = tags.along;
  page.tag_conflict = tags.conflict;
  page.rows_per_block = rows_per_block(page.height_px, page.tag_dpi_along, options);
  return page;
}

StoredSize size_as_stored(VipsImage* image) {
  return {vips_image_get_width(image), vips_image_get_height(image), vips_image_get_bands(image),
          image->BandFmt == VIPS_FORMAT_USHORT ? 2 : 1};
}

// What is wrong with a size; empty when nothing is.
std::string wrong_with(const StoredSize& size) {
  if (std::max(size.width_px, size.height_px) > kLargestSide_px) {
    return "is " + std::to_string(size.width_px) + " x " + std::to_string(size.height_px) + " px; at most " +
           std::to_string(kLargestSide_px) + " px a side are taken: scan at a lower resolution";
  }
  if (size.bands == 1 || size.bands == 3) return {};
  return "has " + std::to_string(size.bands) + " colour channels; grey or RGB is needed";
}

PixelsWanted wanted_of(const OpenedPage& opened, const StoredSize& size, const PageRaster& page,
                       const ReadOptions& options, const LightSinkFactory& make_sink) {
  PixelsWanted out;
  out.size = size;
  out.sums.order = reading_order(opened.orientation, page.transposed);
  out.sums.overview = options.overview;
  if (opened.jpeg && size.bands == 3 && size.bytes == 1)
    out.sums.luma_axis = luma_filter_axis(*opened.jpeg, out.sums.order.transposed);
  out.make_sink = make_sink;
  out.threads = options.threads;
  return out;
}

void take_over(const PageSums& sums, double quantisation_sigma, PageRaster& page) {
  page.pixels = sums.pixels();
  page.pixels.quantisation_sigma = quantisation_sigma;
  if (!sums.colours().few()) return;
  page.pixels.quantisation_sigma = kPaletteRounding;
  page.notes.push_back("the picture has " + std::to_string(sums.colours().count()) +
                       " colours only, as a palette or a black-and-white setting leaves them");
}

struct Reading {
  const ScanFile& file;
  int index;
  const ReadOptions& options;
  const LightSinkFactory& make_sink;
};

// Nothing when some pixel cannot be read.
std::optional<PageRaster> to_raster(const Reading& asked, OpenedPage& opened, const StoredSize& size,
                                    bool as_stored) {
  PageRaster page = sized_raster(opened, size, asked.options);
  PixelsWanted wanted = wanted_of(opened, size, page, asked.options, asked.make_sink);
  wanted.as_stored = as_stored;
  page.overview.transposed = wanted.sums.order.transposed;
  page.overview.flip_u = wanted.sums.order.flip_u;
  page.overview.flip_v = wanted.sums.order.flip_v;
  const auto sums = take_pixels(asked.file, asked.index, opened, wanted, page);
  if (!sums) return std::nullopt;
  page.notes = std::move(opened.notes);
  take_over(*sums, rounding_of(asked.file, opened), page);
  return page;
}

// Without libvips. Nothing when that fails; libvips then reports why.
std::optional<PageRaster> read_plainly(const Reading& asked) {
  auto plain = open_plain_page(asked.file, asked.index, asked.options.limits);
  if (!plain || !wrong_with(plain->size).empty()) return std::nullopt;
  return to_raster(asked, plain->opened, plain->size, true);
}

Result<PageRaster> read(const Reading& asked) {
  const auto problem = [&](std::string what) { return Problem{asked.file.name(), 0, 0, std::move(what)}; };
  auto found = open_page(asked.file, asked.index, asked.options.limits);
  if (!found) return found.problems();
  OpenedPage opened = std::move(found).value();
  const VipsImage* stored = opened.image.get();
  if (!to_srgb_or_grey(opened.image, opened.notes)) {
    return problem("its colours cannot be converted to sRGB (" + take_first_vips_error() +
                   "); save it as an 8-bit sRGB scan");
  }
  const StoredSize size = size_as_stored(opened.image.get());
  if (auto what = wrong_with(size); !what.empty()) return problem(std::move(what));
  auto page = to_raster(asked, opened, size, opened.image.get() == stored);
  if (!page)
    return problem("is damaged or cut short (" + take_first_vips_error() + "); copy or scan it again");
  return *std::move(page);
}

}  // namespace

Result<PageRaster> read_page_into(const LightSinkFactory& make_sink, const ScanFile& file, int index,
                                  const ReadOptions& options) {
  const Reading asked{file, index, options, make_sink};
  return by_libvips(file, [&]() -> Result<PageRaster> {
    if (auto page = read_plainly(asked)) return *std::move(page);
    return read(asked);
  });
}

Result<PageRaster> read_page(const ScanFile& file, int index, const ReadOptions& options) {
  return read_page_into({}, file, index, options);
}

Result<PageRaster> read_page(const std::string& name, const ReadOptions& options) {
  const PageName asked = page_named(name);
  const auto file = ScanFile::open(asked.file, options.limits);
  auto page = file ? read_page(*file, asked.index, options) : Result<PageRaster>(file.problems());
  if (page) return page;
  Problems problems = page.problems();
  for (Problem& problem : problems) problem.file = name;
  return problems;
}

}  // namespace scrapetrace::scan
