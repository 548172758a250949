#pragma once
// Scans held against limits, for every command that does so.

#include <string>
#include <vector>

#include "cli/evidence.h"
#include "report/accept_report.h"
#include "scrapetrace/limits.h"

namespace scrapetrace::cli {

struct Judged {
  Limits limits;
  LocateResult located;
  Acceptance result;
  report::Origin origin;
  // Of this, which must outlive it, and of the machine.
  [[nodiscard]] report::AcceptStory story(const Machine& machine, report::LengthUnit unit) const {
    return {machine.layout, located.findings, limits, result, unit};
  }
};

// Problems: limits that cannot be read, and scans that are named twice.
Result<Judged> judge_scans(const EvidenceRequest& request, const Machine& machine,
                           const std::string& limits_file, const std::vector<std::string>& scans);

}  // namespace scrapetrace::cli
