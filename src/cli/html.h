#pragma once
// Inputs of an HTML report besides the findings: encoded pictures and provenance.

#include <future>
#include <optional>
#include <string>
#include <vector>

#include "cli/evidence.h"
#include "cli/output_file.h"
#include "report/locate_html.h"

namespace scrapetrace::cli {

// About the text's width on a desktop, which keeps lettering in proportion.
inline constexpr double kDrawingWidth_px = 860;

// Provenance of these files; reads them all once.
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

// The complete report.
std::string html_of(const EvidenceRequest& request, const Machine& machine, const report::Origin& origin,
                    const LocateResult& result);

// The common part of locate's and accept's pages.
report::HtmlReport html_report(const EvidenceRequest& request, const Machine& machine,
                               const report::Origin& origin, const LocateResult& result);

// Provenance with command line, settings, versions and file hashes.
report::Provenance provenance_of(const EvidenceRequest& request, const report::Origin& origin);

// Named "scan 1", "scan 2", ...
std::vector<NamedFile> numbered(const std::string& role, const std::vector<std::string>& files);
// The same for two kinds.
std::vector<NamedFile> numbered(const std::string& role, const std::vector<std::string>& files,
                                const std::string& other_role, const std::vector<std::string>& others);

}  // namespace scrapetrace::cli
