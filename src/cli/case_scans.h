#pragma once
// The inputs of one case of a triage: which of them are scans, what those hold, which of them hold the same,
// and their pages.

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
  // Names are relative to `base`; when it is a folder that nothing may lead out of, it is `closed`.
  CaseScans(std::string base, bool closed, const std::vector<triage::Input>& inputs);

  // The inputs that are no scans, by their content and not their name.
  [[nodiscard]] const std::vector<report::TriageLeftOut>& left_out() const { return left_out_; }
  // False when something left out may have been meant as an answer.
  [[nodiscard]] bool complete() const { return complete_; }
  // As listed; without a hash where it could not be read.
  [[nodiscard]] const std::vector<HeldScan>& files() const { return files_; }
  // Those that count for nothing, since another scan of the case shows the same.
  [[nodiscard]] const std::vector<Copy>& copies() const { return copies_; }
  // The same for the same names and contents, and only then.
  [[nodiscard]] std::string contents() const;

  // Takes a page, and the place of its file in files().
  using Take = std::function<void(ScanInput, std::size_t)>;
  // Of all that are no copies, one after another; a file that is not as it was when it was hashed says so.
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
  std::vector<std::string> stamps_;  // of each file, when it was hashed
  std::vector<Copy> copies_;
  std::vector<report::TriageLeftOut> left_out_;
  bool complete_ = true;
  bool only_litter_ = true;  // of what was left out
};

}  // namespace scrapetrace::cli
