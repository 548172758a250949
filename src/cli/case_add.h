#pragma once
// case add: turns the command line into records.

#include <string>
#include <vector>

#include "cli/exit_status.h"
#include "cli/reading.h"

namespace scrapetrace::cli {

struct CaseAddition {
  std::string book;
  std::string unit;
  std::string who;
  std::string at;  // UTC; empty: now
  std::string layout;
  std::string chart;
  std::vector<std::string> scans;
  std::string finding;
  std::vector<std::string> cleaned;
  std::string recheck;
  std::string verdict;
  std::string limits;               // judge the scans by these
  std::vector<std::string> before;  // with `limits`: scans from before the work
  std::string note;
  ReadingRequest reading;
};

ExitStatus add_to_case(const CaseAddition& addition);

}  // namespace scrapetrace::cli
