#pragma once
// One command's options: flags bound to fields, whose values beforehand are the defaults that help shows.

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
  // `usage` begins with the command's name; `example` is shown at the end of the help, a command per line.
  Options(std::string usage, std::string about, std::string example);
  ~Options();
  Options(const Options&) = delete;
  Options& operator=(const Options&) = delete;

  // --name VALUE; `what` says what VALUE is. A list takes one value each time the flag is given.
  void value(const std::string& name, std::string& field, const std::string& what, const std::string& help);
  void value(const std::string& name, std::vector<std::string>& field, const std::string& what,
             const std::string& help);
  // --name VALUE...: as many as follow, each time the flag is given.
  void list(const std::string& name, std::vector<std::string>& field, const std::string& what,
            const std::string& help);
  void value(const std::string& name, double& field, const std::string& what, const std::string& help);
  void value(const std::string& name, int& field, const std::string& what, const std::string& help);
  void value(const std::string& name, std::uint64_t& field, const std::string& what, const std::string& help);
  // --name, without a value, sets the field.
  void flag(const std::string& name, bool& field, const std::string& help);
  // The same for files that are read or written. parse() refuses a line on which a file that is written is
  // one that is read, or written twice.
  void input(const std::string& name, std::string& field, const std::string& what, const std::string& help);
  void input(const std::string& name, std::vector<std::string>& field, const std::string& what,
             const std::string& help);
  void input_list(const std::string& name, std::vector<std::string>& field, const std::string& what,
                  const std::string& help);
  void output(const std::string& name, std::string& field, const std::string& what, const std::string& help);
  // Words without a flag: files that are read, but for one that makes a command. `most` is -1 for any number.
  void words(const std::string& name, std::vector<std::string>& field, int most);
  // A first word that makes a command of its own: its help shows these options alone, and others are refused
  // beside it. Declare it after the words.
  void part(SheetPart part);
  // --force, for commands that write files: those that are there already are replaced.
  void writes_files();
  // The usage's first word is a program of its own, not a command of scrapetrace.
  void stands_alone();
  // Help shows the cautions: the command's answer may send somebody to a machine.
  void show_cautions();

  // Fills the fields. The status to leave with, when help was asked for or something is wrong.
  [[nodiscard]] std::optional<ExitStatus> parse(const Arguments& arguments);
  // True when the option stood on the command line.
  [[nodiscard]] bool given(const std::string& name) const;
  // The command line as parsed, fit for a shell.
  [[nodiscard]] std::string command_line() const;
  // Flags that are set, and every option that has a value, given or by default: name and value.
  [[nodiscard]] std::vector<std::pair<std::string, std::string>> settings() const;

  // Runs a command that only describes itself: parse() returns at once, and the table is handed over.
  static CommandSheet sheet_of(const Command& command);

  // Says what is wrong, and where help is.
  [[nodiscard]] ExitStatus reject(const std::string& what) const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace scrapetrace::cli
