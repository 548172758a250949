#pragma once
// PDF pages as scanning programs make them: one picture that fills the page, perhaps over hidden text. The
// picture's pixels are the scan; the page gives its size on paper.

#include <cstddef>
#include <cstdio>
#include <optional>
#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::document {

// The picture of a page.
struct PagePicture {
  int width_px = 0;
  int height_px = 0;
  double dpi_across = 0;  // along the picture's rows, from its size on the page
  double dpi_along = 0;
  int orientation = 1;  // how the page shows it, as Exif orientation (CIPA DC-008), 1 to 8
  std::string jpeg;     // the stored JPEG file; empty: the page must be rendered
  std::string profile;  // ICC profile given by the document; may be empty
  // When rendered at its own resolution, its pixels fall on whole page pixels.
  bool on_whole_pixels = false;
};

struct ScannedPage {
  double width_mm = 0;  // as displayed, /Rotate applied
  double height_mm = 0;
  int pictures = 0;                    // that cover at least a hundredth of the page
  std::optional<PagePicture> picture;  // the largest of them
};

// Number of pages. `file` is at its beginning and stays open; `name` is for messages. Problems: not a PDF
// that can be read, for example password-protected.
Result<int> count_pages(const std::string& name, std::FILE* file);

// Page `index`, from 0. Follows form XObjects; ignores pictures below a hundredth of the page.
Result<ScannedPage> read_scanned_page(const std::string& name, std::FILE* file, int index);

}  // namespace scrapetrace::document
