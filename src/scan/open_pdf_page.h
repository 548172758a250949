#pragma once

#include "scan/open_page.h"

namespace scrapetrace::scan {

// The scanned picture of a PDF page at its own resolution: the embedded JPEG itself, else the page rendered
// so that its pixels match the picture's. Problems: damaged or locked documents, pages without a picture,
// more pixels than `limits` allow.
Result<OpenedPage> open_pdf_page(const ScanFile& file, int index, const ReadLimits& limits);

}  // namespace scrapetrace::scan
