#pragma once
// A unit's history as one page for people: its state first, then every record in the order of writing.

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace scrapetrace::report {

// What the page shows of a record; the whole of it is in the JSON.
struct CaseEntry {
  std::int64_t number = 0;
  std::string unit;
  std::string kind;  // scan, finding, cleaned, recheck, verdict, note
  std::string at;    // UTC, as in 2025-03-01T14:05:09Z
  std::string who;
  std::string tool_version;
  std::string layout;
  std::string outcome;  // of a recheck: its next step; of a verdict: pass, fail, cannot_judge
  std::string summary;
  std::string hash;
  std::string picture;  // PNG; empty where there is none
};

// How the book as a whole stands: all of its records, not only those shown.
struct CaseChain {
  std::int64_t records = 0;
  std::int64_t broken = 0;  // the first record that is not as it was written; 0: none
  std::string why;
  std::string last_hash;
};

std::string case_html(const std::vector<CaseEntry>& entries, const CaseChain& chain,
                      std::string_view tool_version);

}  // namespace scrapetrace::report
