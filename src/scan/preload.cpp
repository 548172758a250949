#include "scan/preload.h"

#include <string_view>

#include "scan/file_format.h"
#include "scan/vips_image.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

// A blank page with a word on it: rendering it makes poppler load its fonts and tables.
constexpr std::string_view kPage =
    "%PDF-1.4\n"
    "1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n"
    "2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
    "3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]/Contents 4 0 R/Resources<</Font<</F 5 0 "
    "R>>>>>>endobj\n"
    "4 0 obj<</Length 24>>stream\nBT /F 4 Tf (abcd) Tj ET \nendstream endobj\n"
    "5 0 obj<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>endobj\n"
    "trailer<</Root 1 0 R/Size 6>>\n%%EOF\n";

void draw_a_page() {
  const Source source(vips_source_new_from_memory(kPage.data(), kPage.size()));
  VipsImage* loaded = nullptr;
  if (source && vips_pdfload_source(source.get(), &loaded, nullptr) == 0) {
    const Image image(loaded);
    std::size_t size = 0;
    g_free(vips_image_write_to_memory(image.get(), &size));
  }
  vips_error_clear();
}

}  // namespace

void preload_libvips() {
  try {
    start_vips();
  } catch (const NoLibvips&) {
  }
}

void preload_decoder(const ScanFile& file) {
  try {
    start_vips();
    const auto format = format_of(file);
    if (format && *format == Format::pdf) draw_a_page();
  } catch (const NoLibvips&) {
  }
}

}  // namespace scrapetrace::scan
