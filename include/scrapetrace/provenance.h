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

// What every output names: the program, and what its findings rest on.
struct Origin {
  std::string tool_version;
  std::vector<InputFile> files;
};

// One sentence; of each hash its first 16 digits.
std::string origin_sentence(const Origin& origin);
// At the end of a text, after an empty line; wrapped.
std::string origin_text(const Origin& origin);

struct Provenance {
  std::vector<std::pair<std::string, std::string>> versions;  // this program and its libraries: name, version
  std::vector<InputFile> files;
  std::vector<std::pair<std::string, std::string>> settings;  // name, value
  std::string command;                                        // the command line, fit for a shell
};

}  // namespace scrapetrace::report
