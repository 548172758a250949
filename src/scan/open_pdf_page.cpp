#include "scan/open_pdf_page.h"

#include <cmath>

#include "document/scanned_page.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

constexpr double kLargestDrawn_px = 40000;

Problem problem(const PageName& name, const std::string& what) {
  return {name.file, 0, 0, "page " + std::to_string(name.index + 1) + " " + what};
}

void give_profile(VipsImage* image, const std::string& profile) {
  if (profile.empty()) {
    vips_image_remove(image, VIPS_META_ICC_NAME);
  } else {
    vips_image_set_blob_copy(image, VIPS_META_ICC_NAME, profile.data(), profile.size());
  }
}

Result<OpenedPage> open_stored(const PageName& name, document::PagePicture picture) {
  OpenedPage page;
  page.format = Format::pdf;
  page.bytes = std::make_shared<const std::string>(std::move(picture.jpeg));
  const Source source(vips_source_new_from_memory(page.bytes->data(), page.bytes->size()));
  VipsImage* image = nullptr;
  if (!source || vips_jpegload_source(source.get(), &image, "access", VIPS_ACCESS_SEQUENTIAL, "fail_on",
                                      VIPS_FAIL_ON_TRUNCATED, nullptr) != 0) {
    return problem(name, "holds a damaged picture (" + take_first_vips_error() + "); scan or copy it again");
  }
  page.image.reset(image);
  give_profile(image, picture.profile);
  page.orientation = picture.orientation;  // the picture's own tag counts for nothing inside a page
  page.jpeg = read_jpeg_header_of(*page.bytes);
  return page;
}

Result<OpenedPage> draw(const PageName& name, const document::ScannedPage& sheet,
                        const document::PagePicture& picture) {
  const double dpi = std::max(picture.dpi_across, picture.dpi_along);
  const double longest_px = std::max(sheet.width_mm, sheet.height_mm) / 25.4 * dpi;
  if (!(longest_px < kLargestDrawn_px)) {
    return problem(name, "would be " + std::to_string(std::lround(longest_px)) +
                             " px long; at most 40000 are drawn: save the scan itself as TIFF");
  }
  OpenedPage page;
  page.format = Format::pdf;
  VipsImage* image = nullptr;
  if (vips_pdfload(name.file.c_str(), &image, "page", name.index, "dpi", dpi, "access",
                   VIPS_ACCESS_SEQUENTIAL, nullptr) != 0) {
    return problem(name, "cannot be drawn (" + take_first_vips_error() + "); save the scan as TIFF or PNG");
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

Result<OpenedPage> open_pdf_page(const PageName& name) {
  auto sheet = document::read_scanned_page(name.file, name.index);
  if (!sheet) return sheet.problems();
  if (!sheet->picture) {
    return problem(name, "holds no scanned picture, only drawing or text; give the scan itself");
  }
  document::PagePicture picture = *sheet->picture;
  const double across = believable_dpi(picture.dpi_across / 25.4);
  const double along = believable_dpi(picture.dpi_along / 25.4);
  const bool stored = sheet->pictures == 1 && !picture.jpeg.empty();
  auto opened = stored ? open_stored(name, std::move(picture)) : draw(name, *sheet, picture);
  if (!opened) return opened.problems();
  OpenedPage page = std::move(opened).value();
  if (across > 0 && along > 0) {
    const double drawn = std::max(across, along);
    page.tags = stored ? ResolutionTags{across, along, {}} : ResolutionTags{drawn, drawn, {}};
  }
  return page;
}

}  // namespace scrapetrace::scan
