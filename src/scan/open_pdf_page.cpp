#include "scan/open_pdf_page.h"

#include <cmath>

#include "document/scanned_page.h"
#include "scan/cmyk_complement.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

constexpr double kLargestDrawn_px = 40000;

struct PdfPage {
  const ScanFile& file;
  int index;
  const ReadLimits& limits;
};

Problem problem(const PdfPage& page, const std::string& what) {
  return {page.file.name(), 0, 0, "page " + std::to_string(page.index + 1) + " " + what};
}

void give_profile(VipsImage* image, const std::string& profile) {
  if (profile.empty()) {
    vips_image_remove(image, VIPS_META_ICC_NAME);
  } else {
    vips_image_set_blob_copy(image, VIPS_META_ICC_NAME, profile.data(), profile.size());
  }
}

// `bytes` must outlive the image.
Image open_jpeg(const std::string& bytes) {
  const Source source(vips_source_new_from_memory(bytes.data(), bytes.size()));
  VipsImage* image = nullptr;
  if (source) {
    vips_jpegload_source(source.get(), &image, "access", VIPS_ACCESS_SEQUENTIAL, "fail_on",
                         VIPS_FAIL_ON_WARNING, nullptr);
  }
  return Image(image);
}

Result<OpenedPage> open_stored(const PdfPage& asked, document::PagePicture picture) {
  OpenedPage page;
  page.format = Format::pdf;
  page.bytes = std::make_shared<const std::string>(std::move(picture.jpeg));
  page.image = open_jpeg(*page.bytes);
  VipsImage* image = page.image.get();
  if (image == nullptr)
    return problem(asked, "holds a damaged picture (" + take_first_vips_error() + "); scan or copy it again");
  if (auto large =
          too_large(asked.file, vips_image_get_width(image), vips_image_get_height(image), asked.limits))
    return *large;
  give_profile(image, picture.profile);
  if (is_bare_cmyk(image)) {
    const Image again = open_jpeg(*page.bytes);
    if (again && is_complement(again.get())) undo_complement(page.image, page.notes);
  }
  page.orientation = picture.orientation;  // a PDF viewer ignores the JPEG's own orientation tag
  page.jpeg = read_jpeg_header_of(*page.bytes);
  return page;
}

Result<OpenedPage> draw(const PdfPage& asked, const document::ScannedPage& sheet,
                        const document::PagePicture& picture) {
  const double dpi = std::max(picture.dpi_across, picture.dpi_along);
  const double longest_px = std::max(sheet.width_mm, sheet.height_mm) / 25.4 * dpi;
  if (!(longest_px < kLargestDrawn_px)) {
    return problem(asked, "would be " + std::to_string(std::lround(longest_px)) +
                              " px long; at most 40000 are drawn: save the scan itself as TIFF");
  }
  if (auto large =
          too_large(asked.file, sheet.width_mm / 25.4 * dpi, sheet.height_mm / 25.4 * dpi, asked.limits))
    return *large;
  OpenedPage page;
  page.format = Format::pdf;
  VipsImage* image = nullptr;
  const Source source(vips_source_new_from_descriptor(asked.file.at_start()));
  if (!source || vips_pdfload_source(source.get(), &image, "page", asked.index, "dpi", dpi, "access",
                                     VIPS_ACCESS_SEQUENTIAL, nullptr) != 0) {
    return problem(asked, "cannot be drawn (" + take_first_vips_error() + "); save the scan as TIFF or PNG");
  }
  page.image.reset(image);
  if (!picture.on_whole_pixels || sheet.pictures > 1) {
    page.notes.emplace_back(
        "the PDF's page is put together of pictures that do not share one grid of pixels, so that it was "
        "resampled once; the scanning program's TIFF or JPEG shows more");
  }
  return page;
}

}  // namespace

Result<OpenedPage> open_pdf_page(const ScanFile& file, int index, const ReadLimits& limits) {
  const PdfPage asked{file, index, limits};
  auto sheet = document::read_scanned_page(file.name(), stream_of(file).get(), index);
  if (!sheet) return sheet.problems();
  if (!sheet->picture) {
    return problem(asked, "holds no scanned picture, only drawing or text; give the scan itself");
  }
  document::PagePicture picture = *sheet->picture;
  const double across = believable_dpi(picture.dpi_across / 25.4);
  const double along = believable_dpi(picture.dpi_along / 25.4);
  const bool stored = sheet->pictures == 1 && !picture.jpeg.empty();
  auto opened = stored ? open_stored(asked, std::move(picture)) : draw(asked, *sheet, picture);
  if (!opened) return opened.problems();
  OpenedPage page = std::move(opened).value();
  if (across > 0 && along > 0) {
    const double drawn = std::max(across, along);
    page.tags = stored ? ResolutionTags{across, along, {}} : ResolutionTags{drawn, drawn, {}};
  }
  return page;
}

}  // namespace scrapetrace::scan
