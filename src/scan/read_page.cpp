#include "scan/read_page.h"

#include <utility>

#include "scan/by_libvips.h"
#include "scan/open_page.h"
#include "scan/open_plain_page.h"
#include "scan/page_name.h"
#include "scan/page_pixels.h"
#include "scan/raster_frame.h"
#include "scan/read_page_into.h"
#include "scan/to_srgb_or_grey.h"

namespace scrapetrace::scan {

namespace {

// WebP's container names the lossless coder's chunk (RFC 9649).
bool lossless_webp(const ScanFile& file) {
  return file.first_bytes(1024).find("VP8L") != std::string::npos;
}

double rounding_of(const ScanFile& file, const OpenedPage& opened) {
  if (opened.jpeg) return opened.jpeg->quantisation_sigma;
  const bool lossy = opened.format == Format::heif || (opened.format == Format::webp && !lossless_webp(file));
  return lossy ? kUnknownCoder : 0;
}

PageRaster raster_for(const OpenedPage& opened, const StoredSize& size, const ReadOptions& options) {
  const ResolutionTags& tags = opened.tags;
  return sized_raster({opened.orientation, tags.across, tags.along, tags.conflict}, size, options);
}

StoredSize size_as_stored(VipsImage* image) {
  return {vips_image_get_width(image), vips_image_get_height(image), vips_image_get_bands(image),
          image->BandFmt == VIPS_FORMAT_USHORT ? 2 : 1};
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

struct Reading {
  const ScanFile& file;
  int index;
  const ReadOptions& options;
  const LightSinkFactory& make_sink;
};

// Nothing when some pixel cannot be read.
std::optional<PageRaster> to_raster(const Reading& asked, OpenedPage& opened, const StoredSize& size,
                                    bool as_stored) {
  PageRaster page = raster_for(opened, size, asked.options);
  PixelsWanted wanted = wanted_of(opened, size, page, asked.options, asked.make_sink);
  wanted.as_stored = as_stored;
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
