#pragma once
// Description of a command for help, manual pages and completions.

#include <string>
#include <utility>
#include <vector>

namespace scrapetrace::cli {

struct OptionRow {
  std::string name;   // without dashes
  std::string value;  // placeholder of the value; empty: a flag
  std::string help;
  std::string fallback;  // default value; empty: none
};

// A subcommand, selected by the first word: "case add".
struct SheetPart {
  std::string name;
  std::string usage;  // as of CommandSheet
  std::string about;
  std::string example;
  std::vector<std::string> options;  // names of its options
};

struct CommandSheet {
  std::string program = "scrapetrace ";  // before the usage; empty: a separate program
  std::string usage;                     // "locate --layout LAYOUT ..."
  std::string about;
  std::string example;
  std::vector<OptionRow> options;
  std::vector<SheetPart> parts;
  bool takes_files = false;  // takes words without a flag
  bool cautions = false;     // its answer may send somebody to a machine
  [[nodiscard]] std::string name() const { return usage.substr(0, usage.find(' ')); }
};

}  // namespace scrapetrace::cli
