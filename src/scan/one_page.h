#pragma once
// Files that need no decoder to tell how many pages they hold.

#include "scan/scan_file.h"

namespace scrapetrace::scan {

// By its first bytes, of a format whose files hold one page.
bool holds_one_page(const ScanFile& file);

}  // namespace scrapetrace::scan
