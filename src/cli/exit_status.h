#pragma once
// Exit status; documented in docs/exit-status.md.

namespace scrapetrace::cli {

enum class ExitStatus : int {
  ok = 0,             // ran to the end, whatever it found
  scan_failed = 1,    // at least one scan could not be analysed; the others were
  bad_request = 2,    // bad command line or input file, or an output that cannot be written
  failed_limits = 3,  // accept: outside a limit
  cannot_judge = 4,   // accept: the scans do not show enough
};

}  // namespace scrapetrace::cli
