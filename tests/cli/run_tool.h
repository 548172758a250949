#pragma once
// Runs the real binary and keeps what it said.

#include <string>
#include <vector>

namespace scrapetrace::cli {

struct Ran {
  int status = -1;  // exit status; -1: it did not exit by itself
  std::string out;
  std::string err;
};

Ran run_tool(const std::vector<std::string>& arguments);

// A folder of the running test's own, so that tests meet in one process in any order, and in every round of
// them; removed when the program ends. Outside tests, one that all share.
std::string scratch();

std::string source_path(const std::string& path);
std::string slurp(const std::string& path);

}  // namespace scrapetrace::cli
