#pragma once
// Opens pages whose headers need no libvips.

#include <optional>

#include "scan/open_page.h"

namespace scrapetrace::scan {

struct PlainPage {
  OpenedPage opened;  // without an image
  StoredSize size;
};

// Page `index`, from 0, if its header holds nothing but size, sample format, resolution, orientation and
// text: no colour profile, no unusual Exif. Every field equals what libvips would report. Nothing: let
// libvips read the page and report problems.
std::optional<PlainPage> open_plain_page(const ScanFile& file, int index, const ReadLimits& limits);

// Columns and rows of every page of a TIFF whose pages are all plain. Nothing for other files and for more
// than `most` pages.
std::optional<std::vector<std::array<int, 2>>> plain_tiff_sizes(const ScanFile& file, int most);

}  // namespace scrapetrace::scan
