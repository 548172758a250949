#pragma once
// What a file's first bytes tell without a decoder.

#include <cstddef>
#include <string_view>

#include "scan/scan_file.h"

namespace scrapetrace::scan {

// How many of a file's first bytes are looked at.
inline constexpr std::size_t kLookedAt_bytes = 1024;

// Of a format that is read, by those bytes.
bool is_scan(std::string_view start);

// What a file is that is no scan, as what follows its name: "is a ZIP archive: unpack it".
const char* what_else(std::string_view start);

// True for what a desktop leaves in folders for itself, and nobody sent.
bool is_litter(std::string_view name, std::string_view start);

// Of a format whose files hold one page.
bool holds_one_page(const ScanFile& file);

// Of a format that only libvips decodes.
bool is_for_libvips(const ScanFile& file);

}  // namespace scrapetrace::scan
