#pragma once
// Lines of the scanner's, held against a second scan of the same sheet turned end for end: dirt keeps its
// place in the scanner, what is on the print goes round with the sheet.

#include <optional>
#include <vector>

#include "locate/prepare_scan.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::locate_detail {

// Per scan and line of it, whether the line kept its column of the scan while the sheet was turned; nothing
// where no such scan shows it, or where both hold (a line in the middle of the sheet).
std::vector<std::vector<std::optional<bool>>> kept_scan_columns(const std::vector<AnalysedScan>& scans,
                                                                const std::vector<ScanInput>& inputs);

}  // namespace scrapetrace::locate_detail
