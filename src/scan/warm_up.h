#pragma once
// What decoders load when they are first used, loaded beforehand: later nothing may be opened.

#include "scan/scan_file.h"

namespace scrapetrace::scan {

// libvips and its modules.
void start_reading();

// What the decoder of the file's format needs besides. Looks at the first bytes alone.
void warm_up(const ScanFile& file);

}  // namespace scrapetrace::scan
