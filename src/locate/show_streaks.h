#pragma once
// The streaks of the findings with what people need to see to believe them.

#include <optional>
#include <vector>

#include "diagnose/diagnose_region.h"
#include "page/placement.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::locate_detail {

// A region's explanations and where each stands among the findings' streaks.
struct ExplainedRegion {
  std::size_t region = 0;
  std::vector<diagnose::Explanation> explanations;
  std::vector<std::size_t> streaks;
};

// One entry per streak. `placements` has one entry per input, empty for scans that could not be analysed.
std::vector<StreakEvidence> show_streaks(const diagnose::PageContext& page,
                                         const std::vector<streak::Region>& regions,
                                         const std::vector<ExplainedRegion>& explained,
                                         const std::vector<Streak>& streaks,
                                         const std::vector<ScanInput>& inputs,
                                         const std::vector<std::optional<page::Placement>>& placements);

}  // namespace scrapetrace::locate_detail
