#pragma once
// Scans held against limits, for every command that does so.

#include <optional>
#include <string>
#include <vector>

#include "cli/evidence.h"
#include "report/accept_report.h"
#include "scrapetrace/jet_changes.h"
#include "scrapetrace/limits.h"

namespace scrapetrace::cli {

// What is judged.
struct JudgingFiles {
  std::string limits;
  std::vector<std::string> scans;
  std::vector<std::string> before;  // scans from before the work: which jets printed then
};

struct Judged {
  Limits limits;
  LocateResult located;
  std::optional<std::vector<JetChange>> jets;  // since the scans from before, where there are any
  Acceptance result;
  report::Origin origin;
  // Of this, which must outlive it, and of the machine.
  [[nodiscard]] report::AcceptStory story(const Machine& machine, report::LengthUnit unit) const {
    return {machine.layout, located.findings, limits, result, unit, jets ? &*jets : nullptr};
  }
};

// Problems: limits that cannot be read, and scans that are named twice. With scans from before, jets lost
// since are judged in any case; limits that do not say how many may be allow none.
Result<Judged> judge_scans(const EvidenceRequest& request, const Machine& machine, const JudgingFiles& files);

}  // namespace scrapetrace::cli
