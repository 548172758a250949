#pragma once
// Reads and judges the pages of a case, one at a time, within its budget.

#include <functional>
#include <string>
#include <vector>

#include "cli/case_budget.h"
#include "cli/evidence.h"
#include "scrapetrace/locate_job.h"
#include "scrapetrace/located_scans.h"

namespace scrapetrace::cli {

// Receives the next page, or why it could not be read.
using TakeScan = std::function<void(ScanInput)>;

// Unreadable files, and files beyond the budget, become problems.
void read_scans(const EvidenceRequest& request, const Machine& machine, const std::vector<std::string>& files,
                CaseBudget& budget, const TakeScan& take);

// A source of a case's scans.
using ReadCase = std::function<void(CaseBudget& budget, const TakeScan& take)>;

// Judges scans together with request.before, analysing each page as it arrives. Makes thumbnails and evidence
// if an output needs them. If the budget runs out, no scan counts as examined, and each states why.
LocateResult locate_case(const EvidenceRequest& request, const Machine& machine, const ReadCase& read);

// The same for files.
LocateResult locate_files(const EvidenceRequest& request, const Machine& machine,
                          const std::vector<std::string>& files);

// The findings of files, and their scans to go on with.
LocatedScans locate_to_go_on(const EvidenceRequest& request, const Machine& machine,
                             const LocateOptions& options, const std::vector<std::string>& files,
                             CaseBudget& budget);

}  // namespace scrapetrace::cli
