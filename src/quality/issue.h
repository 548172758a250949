#pragma once
// Issues that limit what a scan can show.

#include <string>

#include "scrapetrace/findings.h"

namespace scrapetrace::quality {

// The sentence says what is wrong and what to change, without full stop.
struct Issue {
  ScanIssue kind = ScanIssue::too_coarse;
  std::string sentence;
};

}  // namespace scrapetrace::quality
