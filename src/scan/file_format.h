#pragma once
// What a file is, by its first bytes: a name proves nothing. What is not on the list is never handed to a
// decoder.

#include <optional>

#include "scan/resolution_tags.h"
#include "scan/scan_file.h"
#include "scan/shared_words.h"

namespace scrapetrace::scan {

// Nothing: none of the formats taken.
std::optional<Format> look_at(const ScanFile& file);
// The same. Problems: none of the formats taken, or one that this computer's libvips cannot read.
Result<Format> format_of(const ScanFile& file);
const char* to_string(Format format);

}  // namespace scrapetrace::scan
