#pragma once
// The options of a command: flags bound to fields; help shows the fields' initial values as defaults.

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/command_sheet.h"
#include "cli/commands.h"

namespace scrapetrace::cli {

class Options {
 public:
  // `usage` begins with the command's name; `example` follows the help, one command per line.
  Options(std::string usage, std::string about, std::string example);
  ~Options();
  Options(const Options&) = delete;
  Options& operator=(const Options&) = delete;

  // --name VALUE; `what` is the placeholder. Lists take one value each time the flag is given.
  void value(const std::string& name, std::string& field, const std::string& what, const std::string& help);
  void value(const std::string& name, std::vector<std::string>& field, const std::string& what,
             const std::string& help);
  // --name VALUE...: any number of values, each time the flag is given.
  void list(const std::string& name, std::vector<std::string>& field, const std::string& what,
            const std::string& help);
  void value(const std::string& name, double& field, const std::string& what, const std::string& help);
  void value(const std::string& name, int& field, const std::string& what, const std::string& help);
  void value(const std::string& name, std::uint64_t& field, const std::string& what, const std::string& help);
  // --name without a value sets the field.
  void flag(const std::string& name, bool& field, const std::string& help);
  // The same for input and output files. parse() rejects an output that is also an input or another output.
  void input(const std::string& name, std::string& field, const std::string& what, const std::string& help);
  void input(const std::string& name, std::vector<std::string>& field, const std::string& what,
             const std::string& help);
  void input_list(const std::string& name, std::vector<std::string>& field, const std::string& what,
                  const std::string& help);
  void output(const std::string& name, std::string& field, const std::string& what, const std::string& help);
  // Words without a flag: input files, or a subcommand. `most` -1: any number.
  void words(const std::string& name, std::vector<std::string>& field, int most);
  // A subcommand with its own help; other options are rejected with it. Declare it after words().
  void part(SheetPart part);
  // --force, for commands that write files: replace existing ones.
  void writes_files();
  // The usage names a separate program, not a command of scrapetrace.
  void stands_alone();
  // Help shows the cautions, since the answer may send somebody to a machine.
  void show_cautions();

  // Fills the fields. Returns an exit status after --help or an error.
  [[nodiscard]] std::optional<ExitStatus> parse(const Arguments& arguments);
  // Whether the option was given on the command line.
  [[nodiscard]] bool given(const std::string& name) const;
  // The parsed command line, quoted for a shell.
  [[nodiscard]] std::string command_line() const;
  // All set flags and options with a value, given or default: (name, value).
  [[nodiscard]] std::vector<std::pair<std::string, std::string>> settings() const;

  // Runs a command only to obtain its description.
  static CommandSheet sheet_of(const Command& command);

  // Prints the error and where to find help.
  [[nodiscard]] ExitStatus reject(const std::string& what) const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace scrapetrace::cli
