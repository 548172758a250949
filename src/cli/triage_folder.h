#pragma once
// Where a triage keeps its results, and what they rest on.

#include <filesystem>
#include <string>

#include "cli/evidence.h"
#include "cli/triage_run.h"
#include "report/triage_report.h"
#include "triage/folder_lock.h"
#include "triage/worklist.h"

namespace scrapetrace::cli {

struct TriageFolder {
  std::filesystem::path root;
  [[nodiscard]] std::string state() const { return (root / "triage.sqlite").string(); }
  [[nodiscard]] std::string lines() const { return (root / "cases.jsonl").string(); }
  [[nodiscard]] std::string overview() const { return (root / "overview.html").string(); }
  [[nodiscard]] std::string part() const { return (root / "part.json").string(); }
  [[nodiscard]] std::filesystem::path reports() const { return root / "reports"; }
};

// What all lines of a folder have in common, as a hash: options, layout, chart and program.
std::string settings_of(const EvidenceRequest& request);
// What a line depends on besides the scans themselves: these, and what scans may ask for.
std::string key_settings_of(const EvidenceRequest& request);

// Says that a folder's results were made with other settings.
ExitStatus refuse_other_settings(const TriageFolder& folder);

// A case as the worklist keeps it.
triage::Line line_of(const report::TriageCase& one);

// The report of a case, relative to the folder.
std::string report_name(const std::string& name);

// Makes the folder ready for a run and takes it for this one, before anything in it is touched; cleared when
// the request forces it. Problems: not writable, it holds something else, or another run is in it.
Result<triage::FolderLock> prepare(const TriageRequest& request, const TriageFolder& folder);

// Writes the lines and the overview, and says each case's sentence. Streamed: the lines of a hundred thousand
// cases need not fit in memory.
ExitStatus write_results(const TriageFolder& folder, triage::Worklist& work, const TriageRequest& request,
                         const Machine& machine);

}  // namespace scrapetrace::cli
