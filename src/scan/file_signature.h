#pragma once
// What a file's first bytes tell without a decoder.

#include <cstddef>
#include <string_view>

#include "scan/scan_file.h"

namespace scrapetrace::scan {

// How many of a file's first bytes are read.
inline constexpr std::size_t kSignature_bytes = 1024;

// Whether these bytes belong to a supported image format.
bool is_scan(std::string_view start);

// What a file is that is no scan, as a predicate for its name: "is a ZIP archive: unpack it".
const char* other_file_kind(std::string_view start);

// Files that a desktop puts into folders by itself, such as thumbnail caches.
bool is_desktop_metadata(std::string_view name, std::string_view start);

// Whether the format holds a single page.
bool holds_one_page(const ScanFile& file);

// Whether only libvips decodes the format.
bool needs_libvips(const ScanFile& file);

}  // namespace scrapetrace::scan
