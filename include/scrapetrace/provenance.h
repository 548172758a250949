#pragma once
// Everything needed to reproduce the findings.

#include <string>
#include <utility>
#include <vector>

namespace scrapetrace::report {

struct InputFile {
  std::string role;  // "layout", "chart", "scan 1", ...
  std::string name;
  std::string sha256;  // of its bytes, hexadecimal; empty: unreadable
};

// Named in every output: the program and its inputs.
struct Origin {
  std::string tool_version;
  std::vector<InputFile> files;
};

// One sentence, with 16 digits of each hash.
std::string origin_sentence(const Origin& origin);
// For the end of a text report; wrapped, after an empty line.
std::string origin_text(const Origin& origin);

struct Provenance {
  std::vector<std::pair<std::string, std::string>>
      versions;  // (name, version): this program and its libraries
  std::vector<InputFile> files;
  std::vector<std::pair<std::string, std::string>> settings;  // (name, value)
  std::string command;                                        // quoted for a shell
};

}  // namespace scrapetrace::report
