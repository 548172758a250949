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
// The same for findings, layout and chart included.
report::Origin origin_of(const EvidenceRequest& request, const std::vector<NamedFile>& files);
// The same, worked out on a thread of its own while the files are judged: a large scan takes as long to hash
// as to judge.
class Hashes {
 public:
  // `request` must outlive it. To be made before the files are read, whose processes are started by then: the
  // more there is beside it, the less is waited for.
  Hashes(const EvidenceRequest& request, std::vector<NamedFile> files);
  // Copies among the scans, before any is decoded: waits only where two files are of one size, and could be.
  // What comes by standard input is left for same_scans(origin()).
  Problems copies_so_far();
  const report::Origin& origin();  // waits

 private:
  std::vector<NamedFile> files_;
  std::future<report::Origin> begun_;
  std::optional<report::Origin> origin_;
};

// The page's way to be repeated: command, settings, versions, and what the files hold.
report::Provenance provenance_of(const EvidenceRequest& request, const report::Origin& origin);

// "scan 1", "scan 2", ... for files of one kind.
std::vector<NamedFile> numbered(const std::string& role, const std::vector<std::string>& files);
// Two kinds.
std::vector<NamedFile> numbered(const std::string& role, const std::vector<std::string>& files,
                                const std::string& other_role, const std::vector<std::string>& others);

}  // namespace scrapetrace::cli
