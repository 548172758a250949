#pragma once
// A command as its options describe it: what help, manual pages and completions are made of.

#include <string>
#include <utility>
#include <vector>

namespace scrapetrace::cli {

struct OptionRow {
  std::string name;   // without dashes
  std::string value;  // what the value is; empty: a flag without one
  std::string help;
  std::string fallback;  // the default, empty for none
};

// What a command does when its first word is `name`: "case add".
struct SheetPart {
  std::string name;
  std::string usage;  // as of CommandSheet
  std::string about;
  std::string example;
  std::vector<std::string> options;  // names of those that go with it
};

struct CommandSheet {
  std::string program = "scrapetrace ";  // before the usage; empty: a program of its own
  std::string usage;                     // "locate --layout LAYOUT ..."
  std::string about;
  std::string example;
  std::vector<OptionRow> options;
  std::vector<SheetPart> parts;
  bool takes_files = false;  // words without a flag
  bool cautions = false;     // its answer may send somebody to a machine
  [[nodiscard]] std::string name() const { return usage.substr(0, usage.find(' ')); }
};

}  // namespace scrapetrace::cli
