#pragma once
// The folder of a triage's results and the settings they depend on.

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

// A hash of what all lines of a folder have in common: options, layout, chart and program.
std::string settings_of(const EvidenceRequest& request);
// Settings a line depends on besides its scans: those, and the reading limits.
std::string key_settings_of(const EvidenceRequest& request);

// Reports that a folder's results have other settings.
ExitStatus refuse_other_settings(const TriageFolder& folder);

// A case as the worklist keeps it.
triage::Line line_of(const report::TriageCase& one);

// The path of a case's report, relative to the folder.
std::string report_name(const std::string& name);

// Locks the folder and prepares it for a run, clearing it when forced. Problems: not writable, holds other
// things, in use by another run.
Result<triage::FolderLock> prepare(const TriageRequest& request, const TriageFolder& folder);

// Writes lines and overview, and prints each case's sentence. Streams, so memory does not grow with the
// number of cases.
ExitStatus write_results(const TriageFolder& folder, triage::Worklist& work, const TriageRequest& request,
                         const Machine& machine);

}  // namespace scrapetrace::cli
