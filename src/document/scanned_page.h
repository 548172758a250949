#pragma once
// Pages of a PDF as scanning programs make them: one picture that fills the page, whatever text lies hidden
// under it. The picture's own pixels are what a scan is; the page says how large they are on paper.

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
  double dpi_across = 0;  // along the picture's own rows, from its size on the page
  double dpi_along = 0;
  int orientation = 1;  // how the page shows it, as Exif (CIPA DC-008) numbers it: 1 upright, ..., 8
  std::string jpeg;     // the picture as it is stored, a JPEG file of its own; empty: the page must be drawn
  std::string profile;  // ICC profile that the document gives it; may be empty
  // Drawn at its own resolution, its pixels fall on whole pixels of the page.
  bool on_whole_pixels = false;
};

struct ScannedPage {
  double width_mm = 0;  // as shown, turned by the page's own rotation
  double height_mm = 0;
  int pictures = 0;                    // that take up a good part of the page
  std::optional<PagePicture> picture;  // the largest of them
};

// Number of pages. A problem when the file is no PDF that can be read, for example for its password.
// `file` stands at its beginning and stays open; `name` is for messages.
Result<int> count_pages(const std::string& name, std::FILE* file);

// Page `index`, from 0. Follows forms inside the page; pictures under a hundredth of the page are left out.
Result<ScannedPage> read_scanned_page(const std::string& name, std::FILE* file, int index);

}  // namespace scrapetrace::document
