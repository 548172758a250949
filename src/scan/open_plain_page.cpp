#include "scan/open_plain_page.h"

#include "scan/jpeg_rows.h"
#include "scan/png_stream.h"
#include "scan/simple_exif.h"
#include "scan/tiff_handle.h"
#include "scan/to_srgb_or_grey.h"

namespace scrapetrace::scan {

namespace {

std::optional<PlainPage> plain_jpeg(const ScanFile& file) {
  const StoredSize size = JpegRows({&file, {}}).size();
  if (size.width_px == 0) return std::nullopt;
  PlainPage page;
  page.opened.jpeg = read_jpeg_header(stream_of(file).get());
  if (!page.opened.jpeg || page.opened.jpeg->says_more) return std::nullopt;
  SimpleExif exif;
  if (const std::string& segment = page.opened.jpeg->exif; !segment.empty()) {
    const auto simple = read_simple_exif(segment);
    if (!simple) return std::nullopt;
    exif = *simple;
  }
  page.opened.orientation = exif.orientation;
  page.opened.tags = jpeg_tags(exif.px_per_mm, page.opened.jpeg->density_px_per_mm);
  page.size = size;
  return page;
}

std::optional<PlainPage> plain_tiff(const ScanFile& file, int index) {
  const auto tiff = TiffHandle::open(file.descriptor(), index);
  const auto header = tiff ? tiff->plain_header() : std::nullopt;
  if (!header) return std::nullopt;
  PlainPage page;
  page.opened.orientation = header->orientation;
  page.opened.tags = believable_tags({header->density_px_per_mm[0], header->density_px_per_mm[1]});
  page.size = header->size;
  return page;
}

std::optional<PlainPage> plain_png(const ScanFile& file) {
#ifdef SCRAPETRACE_ISAL
  const PngStream png(file);
  if (png.size().width_px == 0 || png.says_more()) return std::nullopt;
  PlainPage page;
  page.opened.tags = believable_tags(png.density_px_per_mm());
  page.size = png.size();
  return page;
#else
  (void)file;
  return std::nullopt;
#endif
}

std::optional<PlainPage> plain_page(const ScanFile& file, Format format, int index) {
  switch (format) {
    case Format::tiff:
      return plain_tiff(file, index);
    case Format::png:
      return index == 0 ? plain_png(file) : std::nullopt;
    case Format::jpeg:
      return index == 0 ? plain_jpeg(file) : std::nullopt;
    case Format::webp:
    case Format::heif:
    case Format::pdf:
      break;
  }
  return std::nullopt;
}

}  // namespace

std::optional<PlainPage> open_plain_page(const ScanFile& file, int index, const ReadLimits& limits) {
  const auto format = detect_format(file);
  auto page = format ? plain_page(file, *format, index) : std::nullopt;
  if (!page || too_large(file, page->size.width_px, page->size.height_px, limits)) return std::nullopt;
  page->opened.format = *format;
  page->opened.notes.emplace_back(kTakenAsSrgb);
  return page;
}

std::optional<std::vector<std::array<int, 2>>> plain_tiff_sizes(const ScanFile& file, int most) {
  const auto tiff = detect_format(file) == Format::tiff ? TiffHandle::open(file.descriptor(), 0) : nullptr;
  if (!tiff) return std::nullopt;
  std::vector<std::array<int, 2>> sizes;
  while (static_cast<int>(sizes.size()) < most) {
    const auto header = tiff->plain_header();
    if (!header) return std::nullopt;
    sizes.push_back({header->size.width_px, header->size.height_px});
    if (tiff->is_last()) return sizes;
    if (!tiff->go_on()) return std::nullopt;
  }
  return std::nullopt;
}

}  // namespace scrapetrace::scan
