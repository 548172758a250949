#pragma once
// Explanations into the streaks of the findings.

#include <vector>

#include "diagnose/diagnose_region.h"
#include "locate/prepare_scan.h"

namespace scrapetrace::locate_detail {

// A streak of an explained region (id 0: given when all are known).
Streak make_streak(const Layout& layout, const std::vector<profile::PreparedScan>& scans,
                   const diagnose::Explanation& explanation);

// The lines that a scan's own scanner drew, as streaks of that scan; `kept_column` per line
// (confirm_lines.h). One that went round with the sheet is the print's, of no cause that is known.
std::vector<Streak> scanner_streaks(const Layout& layout, const AnalysedScan& scan, std::size_t index,
                                    const std::vector<std::optional<bool>>& kept_column);

}  // namespace scrapetrace::locate_detail
