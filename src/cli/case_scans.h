#pragma once
// The scans of one case of a triage: what they hold, which of them hold the same, and their pages.

#include <string>
#include <vector>

#include "cli/contents.h"
#include "cli/evidence.h"
#include "triage/open_inside.h"

namespace scrapetrace::cli {

class CaseScans {
 public:
  // Names are relative to `base`; when it is a folder that nothing may lead out of, it is `closed`.
  CaseScans(std::string base, bool closed, const std::vector<std::string>& names);

  // As listed; without a hash where it could not be read.
  [[nodiscard]] const std::vector<HeldScan>& files() const { return files_; }
  // Those that count for nothing, since another scan of the case shows the same.
  [[nodiscard]] const std::vector<Copy>& copies() const { return copies_; }
  // The same for the same names and contents, and only then.
  [[nodiscard]] std::string contents() const;

  // Of all that are no copies; a file that is not as it was when it was hashed says so. `of_file` tells for
  // each page its place in files().
  struct Pages {
    std::vector<ScanInput> scans;
    std::vector<std::size_t> of_file;
  };
  [[nodiscard]] Pages read(const EvidenceRequest& request, const Machine& machine) const;

 private:
  [[nodiscard]] Result<triage::OpenFile> open(const std::string& file) const;
  [[nodiscard]] std::vector<ScanInput> read_one(const EvidenceRequest& request, const Machine& machine,
                                                std::size_t place) const;

  std::string base_;
  bool closed_;
  std::vector<HeldScan> files_;
  std::vector<std::string> stamps_;  // of each file, when it was hashed
  std::vector<Copy> copies_;
};

}  // namespace scrapetrace::cli
