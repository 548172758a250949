#pragma once
// What the regions of a job come to: causes, and streaks of the findings.

#include <vector>

#include "diagnose/diagnose_region.h"
#include "locate/show_streaks.h"

namespace scrapetrace::locate_detail {

// Everything found on the scans of a job, with the streaks' indices in the findings.
using Explained = std::vector<ExplainedRegion>;

// Explains every region; its streaks go to the end of the findings.
Explained explain_regions(const diagnose::PageContext& page, const std::vector<streak::Region>& regions,
                          const diagnose::DiagnoseOptions& options, int threads, Findings& findings);

// What was there before and still is, explained as it stands: streaks of the findings that ask for no
// cleaning. `fresh` and its regions are what is new.
void explain_old(const diagnose::PageContext& page, const diagnose::Before& before, const Explained& fresh,
                 const std::vector<streak::Region>& fresh_regions, double false_alarm_rate, int threads,
                 const diagnose::DiagnoseOptions& options, Findings& findings);

}  // namespace scrapetrace::locate_detail
