#include <fmt/format.h>

#include <string>
#include <vector>

#include "base/wording.h"
#include "cli/commands.h"
#include "cli/output.h"
#include "cli/program.h"
#include "cli/versions.h"

namespace scrapetrace::cli {
namespace {

std::string help() {
  std::string out =
      "scrapetrace finds, from scans of streaked prints, the printhead side that needs cleaning.\n\n"
      "Usage: scrapetrace COMMAND [OPTIONS] [FILES]\n\nCommands:\n";
  for (const Command& command : commands())
    out += fmt::format("  {:<10} {}\n", command.name, command.summary);
  return out +
         "\n'scrapetrace COMMAND --help' shows a command's options and an example; --version the "
         "version;\n--explain TERM what a word means. A file called - is standard input or output.\n"
         "Exit status: 0 ran to the end; 1 some scan could not be analysed; 2 bad command line or input "
         "file.\n"
         "The files of the examples are in a checkout, or below /usr/share/scrapetrace.\n"
         "Work at the heads is for trained staff: the machine's service documentation comes first.\n";
}

std::string version() {
  std::string out;
  for (const auto& [name, number] : versions()) out += fmt::format("{} {}\n", name, number);
  return out;
}

ExitStatus unknown_command(const std::string& name) {
  if (name.starts_with("-")) {
    complain(fmt::format("unknown option {}.{} See scrapetrace --help.", in_quotes(name),
                         did_you_mean(name, {"--help", "--version", "--explain"})));
    return ExitStatus::bad_request;
  }
  std::vector<std::string> known;
  for (const Command& command : commands()) known.emplace_back(command.name);
  complain(fmt::format("unknown command {}.{} Known: {}.", in_quotes(name), did_you_mean(name, known),
                       any_of(known)));
  return ExitStatus::bad_request;
}

ExitStatus run(const std::vector<std::string>& words) {
  if (words.empty()) {
    complain("no command given.\n" + help());
    return ExitStatus::bad_request;
  }
  if (words[0] == "--help" || words[0] == "-h") return print_result(help());
  if (words[0] == "--version") return print_result(version());
  if (words[0] == "--explain") return run_explain({words.begin() + 1, words.end()});
  for (const Command& command : commands()) {
    if (words[0] == command.name) return command.run({words.begin() + 1, words.end()});
  }
  return unknown_command(words[0]);
}

}  // namespace
}  // namespace scrapetrace::cli

int main(int argc, char** argv) {
  using namespace scrapetrace::cli;
  return run_program([&] { return run({argv + (argc > 0 ? 1 : 0), argv + argc}); });
}
