#pragma once
// A unit's history as one HTML page: current state first, then all records in order.

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace scrapetrace::report {

// The shown part of a record; the JSON holds the rest.
struct CaseEntry {
  std::int64_t number = 0;
  std::string unit;
  std::string kind;  // scan, finding, cleaned, recheck, verdict, note
  std::string at;    // UTC, as in 2025-03-01T14:05:09Z
  std::string who;
  std::string tool_version;
  std::string layout;
  std::string outcome;  // next step of a recheck; pass, fail or cannot_judge of a verdict
  std::string summary;
  std::string hash;
  std::string picture;  // PNG; empty: none
};

// State of the whole book, including records not shown.
struct CaseChain {
  std::int64_t records = 0;
  std::int64_t broken = 0;  // the first record that was altered; 0: none
  std::string why;
  std::string last_hash;
};

std::string case_html(const std::vector<CaseEntry>& entries, const CaseChain& chain,
                      std::string_view tool_version);

}  // namespace scrapetrace::report
