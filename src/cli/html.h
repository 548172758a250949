#pragma once
// What reports need besides the findings: where everything came from.

#include <future>
#include <optional>
#include <string>
#include <vector>

#include "cli/evidence.h"
#include "cli/output_file.h"
#include "scrapetrace/report.h"

namespace scrapetrace::cli {

// What something made of these files rests on. Reads all of them once.
report::Origin origin_of(const std::vector<NamedFile>& files);
// The same for findings, including layout and chart.
report::Origin origin_of(const EvidenceRequest& request, const std::vector<NamedFile>& files);
// The same on a background thread: hashing a large scan takes as long as judging it.
class Hashes {
 public:
  // `request` must outlive this. Create it before reading begins and after the fork server has started.
  Hashes(const EvidenceRequest& request, std::vector<NamedFile> files);
  // Copies among the scans, found before decoding. Waits only when two files have equal size. Standard input
  // is checked later, by same_scans(origin()).
  Problems copies_so_far();
  const report::Origin& origin();  // waits

 private:
  std::vector<NamedFile> files_;
  std::future<report::Origin> begun_;
  std::optional<report::Origin> origin_;
};

// The page's way to be repeated: command, settings, versions, and what the files hold.
report::Provenance provenance_of(const EvidenceRequest& request, const report::Origin& origin);

// Named "scan 1", "scan 2", ...
std::vector<NamedFile> numbered(const std::string& role, const std::vector<std::string>& files);
// The same for two kinds.
std::vector<NamedFile> numbered(const std::string& role, const std::vector<std::string>& files,
                                const std::string& other_role, const std::vector<std::string>& others);

}  // namespace scrapetrace::cli
