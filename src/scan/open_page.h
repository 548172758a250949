#pragma once
// A page of an image file, opened for one pass from top to bottom, with what its header says.

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scan/file_format.h"
#include "scan/page_sums.h"
#include "scan/resolution_tags.h"
#include "scan/scan_file.h"
#include "scan/vips_image.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// Pages in a TIFF, previews and all; 1 when that cannot be told.
int tiff_pages(const ScanFile& file);
// Columns and rows of a TIFF's page, by its header.
std::optional<std::array<int, 2>> page_size(const ScanFile& file, int index);

struct OpenedPage {
  std::shared_ptr<const std::string> bytes;  // a file within the file; `image` reads from it
  Image image;  // as stored: not turned, in its own colours; null when it was opened without libvips
  Format format = Format::tiff;
  int orientation = 1;  // Exif's: how the stored image is to be shown, 1 to 8
  ResolutionTags tags;
  std::optional<JpegHeader> jpeg;
  std::vector<std::string> notes;  // what was met or assumed, a sentence without its stop each
};

// Page `index`, from 0, by its header alone, by libvips; `file` is read on while `image` is. Problems:
// besides those of format_of(), damaged files, no such page, and more pixels than `limits` allow.
Result<OpenedPage> open_page(const ScanFile& file, int index, const ReadLimits& limits);
// The size held against the limit, for loaders of formats in a format; nothing: it may be read.
std::optional<Problem> too_large(const ScanFile& file, double width_px, double height_px,
                                 const ReadLimits& limits);

}  // namespace scrapetrace::scan
