#pragma once
// All that somebody needs to get the same findings again.

#include <string>
#include <utility>
#include <vector>

namespace scrapetrace::report {

struct InputFile {
  std::string role;  // "layout", "chart", "scan 1", ...
  std::string name;
  std::string sha256;  // of its bytes, hexadecimal; empty: could not be read
};

struct Provenance {
  std::vector<std::pair<std::string, std::string>> versions;  // this program and its libraries: name, version
  std::vector<InputFile> files;
  std::vector<std::pair<std::string, std::string>> settings;  // name, value
  std::string command;                                        // the command line, fit for a shell
};

}  // namespace scrapetrace::report
