#pragma once
// What a file's first bytes tell without a decoder.

#include "scan/scan_file.h"

namespace scrapetrace::scan {

// Of a format whose files hold one page.
bool holds_one_page(const ScanFile& file);

// Of a format that only libvips decodes.
bool is_for_libvips(const ScanFile& file);

}  // namespace scrapetrace::scan
