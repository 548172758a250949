#pragma once
// Opens a page of an image file, reads its header and prepares one sequential pass over its pixels.

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

// Number of pages in a TIFF, previews included; 1 when unknown.
int tiff_pages(const ScanFile& file);
// Columns and rows of a TIFF page, by its header.
std::optional<std::array<int, 2>> page_size(const ScanFile& file, int index);

struct OpenedPage {
  std::shared_ptr<const std::string> bytes;  // an embedded file that `image` reads from
  Image image;  // as stored: not rotated, not converted; null when opened without libvips
  Format format = Format::tiff;
  int orientation = 1;  // Exif orientation, 1 to 8
  ResolutionTags tags;
  std::optional<JpegHeader> jpeg;
  std::vector<std::string> notes;  // what was met or assumed: sentences without full stop
};

// Page `index`, from 0, opened by libvips. `file` must outlive `image`. Problems: as format_of(), damaged
// files, no such page, more pixels than `limits` allow.
Result<OpenedPage> open_page(const ScanFile& file, int index, const ReadLimits& limits);
// A problem when the size exceeds the limits; for files embedded in others.
std::optional<Problem> too_large(const ScanFile& file, double width_px, double height_px,
                                 const ReadLimits& limits);

}  // namespace scrapetrace::scan
