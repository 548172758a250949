#pragma once
// Judges scans against limits, for all commands that do so.

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
  std::vector<std::string> before;  // earlier scans, which show the jets that printed then
};

struct Judged {
  Limits limits;
  LocateResult located;
  std::optional<std::vector<JetChange>> jets;  // changes since the earlier scans, if any
  Acceptance result;
  report::Origin origin;
  // The story refers to this object and the machine, which must outlive it.
  [[nodiscard]] report::AcceptStory story(const Machine& machine, report::LengthUnit unit) const {
    return {machine.layout, located.findings, limits, result, unit, jets ? &*jets : nullptr};
  }
};

// Problems: invalid limits, scans named twice. With earlier scans, lost jets are always judged; the default
// limit allows none.
Result<Judged> judge_scans(const EvidenceRequest& request, const Machine& machine, const JudgingFiles& files);

}  // namespace scrapetrace::cli
