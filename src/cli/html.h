#pragma once
// What an HTML report needs besides the findings: pictures as files, and where everything came from.

#include <string>
#include <vector>

#include "cli/evidence.h"
#include "report/locate_html.h"

namespace scrapetrace::cli {

// The whole report on findings of these files.
std::string html_of(const EvidenceRequest& request, const Machine& machine,
                    const std::vector<std::string>& files, const LocateResult& result);

// The page's way to be repeated: command, settings, versions, and what the files hold.
report::Provenance provenance_of(const EvidenceRequest& request, const std::vector<std::string>& files);

}  // namespace scrapetrace::cli
