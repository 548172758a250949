#pragma once
// One scan from raster to profiles: find the sheet, say how sure, take the scanner's own lines out.

#include <optional>
#include <vector>

#include "likelihood/scene.h"
#include "page/placement.h"
#include "quality/issue.h"
#include "scrapetrace/locate.h"
#include "streak/scanner_lines.h"

namespace scrapetrace::locate_detail {

struct AnalysedScan {
  ScanReport report;  // registration is set if and only if `prepared` is
  std::optional<profile::PreparedScan> prepared;
  page::Placement placement;
  std::vector<streak::ScannerLineFinding> lines;
  double noise = 0;         // of the mean over inks, one sample: relative loss
  std::vector<WayUp> same;  // ways round that would give the same profiles across, with their part of the
                            // placement's probability; empty: only the placement's own
  std::vector<quality::Issue> issues;  // found before the scan was judged
};

// Once for each way round that the sheet may lie, likeliest first, with one and the same report; a single
// one, without profiles, when the scan cannot be analysed.
std::vector<AnalysedScan> prepare_ways(const Layout& layout, const Chart* chart, const ScanInput& input,
                                       std::size_t index, const LocateOptions& options);

// The likeliest of them.
AnalysedScan prepare_scan(const Layout& layout, const Chart* chart, const ScanInput& input, std::size_t index,
                          const LocateOptions& options);

}  // namespace scrapetrace::locate_detail
