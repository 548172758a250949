#pragma once
// What keeps a scan from showing all it could.

#include <string>

#include "scrapetrace/findings.h"

namespace scrapetrace::quality {

// The sentence says what is wrong and what to change, without its stop, fit to stand alone.
struct Issue {
  ScanIssue kind = ScanIssue::too_coarse;
  std::string sentence;
};

}  // namespace scrapetrace::quality
