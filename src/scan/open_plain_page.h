#pragma once
// Pages whose headers say nothing that libvips is needed for.

#include <optional>

#include "scan/open_page.h"

namespace scrapetrace::scan {

struct PlainPage {
  OpenedPage opened;  // without an image
  StoredSize size;
};

// Page `index`, from 0, whose header holds a size, samples as they are to be read, a resolution, perhaps how
// it is to be turned, and words, and nothing else: no colour profile, no Exif but such as scanners write.
// What libvips would say of it in every field. Nothing: libvips has to look, and to say what is wrong if
// something is.
std::optional<PlainPage> open_plain_page(const ScanFile& file, int index, const ReadLimits& limits);

// Columns and rows of every page of a TIFF of which all are plain; nothing of other files, and of those with
// more pages than `most`.
std::optional<std::vector<std::array<int, 2>>> plain_tiff_sizes(const ScanFile& file, int most);

}  // namespace scrapetrace::scan
