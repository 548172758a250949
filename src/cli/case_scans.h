#pragma once
// The inputs of a triage case: finds the scans among them, hashes them, drops copies and reads their pages.

#include <functional>
#include <string>
#include <vector>

#include "cli/contents.h"
#include "cli/read_scans.h"
#include "report/triage_report.h"
#include "triage/list_cases.h"
#include "triage/open_inside.h"

namespace scrapetrace::cli {

class CaseScans {
 public:
  // Names are relative to `base`; `closed` forbids links out of that folder.
  CaseScans(std::string base, bool closed, const std::vector<triage::Input>& inputs);

  // Inputs whose content is no scan.
  [[nodiscard]] const std::vector<report::TriageLeftOut>& left_out() const { return left_out_; }
  // False when a left-out input may have been meant as a scan.
  [[nodiscard]] bool complete() const { return complete_; }
  // In listed order; an unreadable one has no hash.
  [[nodiscard]] const std::vector<HeldScan>& files() const { return files_; }
  // Scans that repeat another scan of the case.
  [[nodiscard]] const std::vector<Copy>& copies() const { return copies_; }
  // A key that is equal for equal names and contents only.
  [[nodiscard]] std::string contents() const;

  // Receives a page and the index of its file in files().
  using Take = std::function<void(ScanInput, std::size_t)>;
  // Reads all scans but copies. A file that changed since it was hashed becomes a problem.
  void read(const EvidenceRequest& request, const Machine& machine, CaseBudget& budget,
            const Take& take) const;

 private:
  void take(const triage::Input& input);
  void leave_out(const triage::Input& input, const std::string& why, bool litter);
  [[nodiscard]] Result<triage::OpenFile> open(const std::string& file) const;
  void read_one(const EvidenceRequest& request, const Machine& machine, CaseBudget& budget, std::size_t place,
                const Take& take) const;

  std::string base_;
  bool closed_;
  std::vector<HeldScan> files_;
  std::vector<std::string> stamps_;  // per file, when it was hashed
  std::vector<Copy> copies_;
  std::vector<report::TriageLeftOut> left_out_;
  bool complete_ = true;
  bool only_litter_ = true;  // all left-out inputs are desktop metadata
};

}  // namespace scrapetrace::cli
