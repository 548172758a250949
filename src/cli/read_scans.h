#pragma once
// The pages of scans that are judged together, one at a time, and their judgement within what they may take.

#include <functional>
#include <string>
#include <vector>

#include "cli/case_budget.h"
#include "cli/evidence.h"
#include "scrapetrace/locate_job.h"
#include "scrapetrace/located_scans.h"

namespace scrapetrace::cli {

// Takes the next page, or why it could not be read.
using TakeScan = std::function<void(ScanInput)>;

// A file that cannot be read, or that the budget has nothing left for, says so.
void read_scans(const EvidenceRequest& request, const Machine& machine, const std::vector<std::string>& files,
                CaseBudget& budget, const TakeScan& take);

// Whoever gives the scans of a case.
using ReadCase = std::function<void(CaseBudget& budget, const TakeScan& take)>;

// Judges scans together, each page as soon as it is there, with request.before; with thumbnails when an
// output shows the page, and with the streaks' evidence when one shows them. Where that takes more than a
// case may, no scan counts as looked at, and each says why.
LocateResult locate_case(const EvidenceRequest& request, const Machine& machine, const ReadCase& read);

// The same for files.
LocateResult locate_files(const EvidenceRequest& request, const Machine& machine,
                          const std::vector<std::string>& files);

// The findings of files, and their scans to go on with.
LocatedScans locate_to_go_on(const EvidenceRequest& request, const Machine& machine,
                             const LocateOptions& options, const std::vector<std::string>& files,
                             CaseBudget& budget);

}  // namespace scrapetrace::cli
