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

// A folder of this test program's own, removed when it ends.
const std::string& scratch();

std::string source_path(const std::string& path);
std::string slurp(const std::string& path);

}  // namespace scrapetrace::cli
