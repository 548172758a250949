#pragma once
// A page of an image file, opened for one pass from top to bottom, with what its header says.

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scan/page_name.h"
#include "scan/resolution_tags.h"
#include "scan/vips_image.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// By the file's first bytes, not its name. Problems: missing, empty, a folder, or none of the formats taken.
Result<Format> format_of(const std::string& file);
const char* to_string(Format format);

// Pages in a TIFF, previews and all; 1 when that cannot be told.
int tiff_pages(const std::string& file);
// Columns and rows of a TIFF's page, by its header.
std::optional<std::array<int, 2>> page_size(const std::string& file, int index);

struct OpenedPage {
  std::shared_ptr<const std::string> bytes;  // a file within the file; `image` reads from it
  Image image;                               // as stored: not turned, in its own colours
  Format format = Format::tiff;
  int orientation = 1;  // Exif's: how the stored image is to be shown, 1 to 8
  ResolutionTags tags;
  std::optional<JpegHeader> jpeg;
  std::vector<std::string> notes;  // what was met or assumed, a sentence without its stop each
};

Result<OpenedPage> open_page(const PageName& name);

}  // namespace scrapetrace::scan
