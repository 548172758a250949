#pragma once
// The format of a file by its first bytes; its name proves nothing. Other formats never reach a decoder.

#include <optional>

#include "scan/resolution_tags.h"
#include "scan/scan_file.h"
#include "scan/shared_messages.h"

namespace scrapetrace::scan {

// Nothing: not a supported format.
std::optional<Format> detect_format(const ScanFile& file);
// The same. Problems: not a supported format, or one that the installed libvips cannot read.
Result<Format> format_of(const ScanFile& file);
const char* to_string(Format format);

}  // namespace scrapetrace::scan
