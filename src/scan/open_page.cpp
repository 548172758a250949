#include "scan/open_page.h"

#include <cmath>

#include "scan/cmyk_complement.h"
#include "scan/open_pdf_page.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

using Load = int (*)(VipsSource*, VipsImage**, ...);

Load loader_of(Format format) {
  switch (format) {
    case Format::tiff:
      return vips_tiffload_source;
    case Format::png:
      return vips_pngload_source;
    case Format::webp:
      return vips_webpload_source;
    case Format::heif:
      return vips_heifload_source;
    case Format::jpeg:
    case Format::pdf:
      break;
  }
  return vips_jpegload_source;
}

// libjpeg decodes a damaged JPEG with a mere warning, to stripes and shifts that look like printer faults.
VipsFailOn strictness_of(Format format) {
  return format == Format::jpeg ? VIPS_FAIL_ON_WARNING : VIPS_FAIL_ON_TRUNCATED;
}

Image open_sequential(VipsSource* source, Format format, int index) {
  VipsImage* image = nullptr;
  const Load load = loader_of(format);
  if (format == Format::tiff) {
    load(source, &image, "access", VIPS_ACCESS_SEQUENTIAL, "fail_on", VIPS_FAIL_ON_TRUNCATED, "page", index,
         nullptr);
  } else {
    load(source, &image, "access", VIPS_ACCESS_SEQUENTIAL, "fail_on", strictness_of(format), nullptr);
  }
  return Image(image);
}

int orientation_of(VipsImage* image) {
  int orientation = 1;
  if (vips_image_get_typeof(image, VIPS_META_ORIENTATION) != 0)
    vips_image_get_int(image, VIPS_META_ORIENTATION, &orientation);
  return orientation < 1 || orientation > 8 ? 1 : orientation;
}

Image open_image(const ScanFile& file, Format format, int index) {
  start_vips();
  const Source source(vips_source_new_from_descriptor(file.at_start()));
  return source ? open_sequential(source.get(), format, index) : nullptr;
}

}  // namespace

int tiff_pages(const ScanFile& file) {
  const Image image = open_image(file, Format::tiff, 0);
  const int pages = image ? vips_image_get_n_pages(image.get()) : 1;
  vips_error_clear();
  return pages;
}

std::optional<std::array<int, 2>> page_size(const ScanFile& file, int index) {
  const Image image = open_image(file, Format::tiff, index);
  vips_error_clear();
  if (!image) return std::nullopt;
  return std::array{vips_image_get_width(image.get()), vips_image_get_height(image.get())};
}

std::optional<Problem> too_large(const ScanFile& file, double width_px, double height_px,
                                 const ReadLimits& limits) {
  const double pixels = width_px * height_px;
  const std::string size = "is " + std::to_string(std::llround(width_px)) + " x " +
                           std::to_string(std::llround(height_px)) + " px by its header";
  if (!(pixels <= limits.megapixels * 1e6)) {
    return Problem{file.name(), 0, 0,
                   size + "; at most " + std::to_string(std::llround(limits.megapixels)) +
                       " million pixels are decoded: scan at a lower resolution, or raise --most-megapixels"};
  }
  if (pixels <= limits.left.megapixels * 1e6) return std::nullopt;
  return Problem{file.name(), 0, 0,
                 size + ", and the pages that are judged together may have " +
                     std::to_string(std::llround(limits.left.of.megapixels)) +
                     " million pixels: give fewer scans at a time, or raise --most-case-megapixels"};
}

Result<OpenedPage> open_page(const ScanFile& file, int index, const ReadLimits& limits) {
  const auto format = format_of(file);
  if (!format) return format.problems();
  if (*format == Format::pdf) return open_pdf_page(file, index, limits);
  if (index > 0 && *format != Format::tiff) {
    return Problem{file.name(), 0, 0,
                   "has one page, no page " + std::to_string(index + 1) + "; name the file alone"};
  }
  OpenedPage page;
  page.format = *format;
  if (*format == Format::jpeg) page.jpeg = read_jpeg_header(stream_of(file).get());
  page.image = open_image(file, *format, index);
  if (!page.image) {
    return Problem{file.name(), 0, 0,
                   "cannot be read as an image (" + take_first_vips_error() + "); give a " + kFormats +
                       " scan, and copy it again if it was cut short"};
  }
  VipsImage* image = page.image.get();
  if (auto problem = too_large(file, vips_image_get_width(image), vips_image_get_height(image), limits))
    return *problem;
  page.orientation = orientation_of(image);
  page.tags = read_resolution(image, *format, page.jpeg ? &*page.jpeg : nullptr);
  // is_complement() reads the file to its end; the pixels are then read again from the start.
  if (is_bare_cmyk(image)) {
    const bool complement = is_complement(image);
    page.image = open_image(file, *format, index);
    if (complement) undo_complement(page.image, page.notes);
  }
  return page;
}

}  // namespace scrapetrace::scan
