#pragma once
// What decoders load when they are first used, loaded beforehand: later nothing may be opened.

#include "scan/scan_file.h"

namespace scrapetrace::scan {

// libvips, for files that need it. Where it cannot be had, whoever reads says so.
void load_for_reading();

// libvips, and what the decoder of the file's format needs besides. Looks at the first bytes alone.
void warm_up(const ScanFile& file);

}  // namespace scrapetrace::scan
