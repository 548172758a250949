#pragma once

#include "scan/open_page.h"

namespace scrapetrace::scan {

// The scanned picture of a PDF's page at its own resolution: its JPEG itself where it is stored as one, else
// the page drawn so that one of its pixels is one of the picture's. Problems: damaged or locked documents,
// pages without a picture, more pixels than `limits` allow.
Result<OpenedPage> open_pdf_page(const ScanFile& file, int index, const ReadLimits& limits);

}  // namespace scrapetrace::scan
