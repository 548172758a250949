#include <fmt/format.h>

#include <array>
#include <csignal>
#include <cstdio>
#include <exception>
#include <new>
#include <string>
#include <vector>

#include "base/wording.h"
#include "cli/commands.h"
#include "cli/heap.h"
#include "cli/output.h"
#include "cli/versions.h"
#include "scrapetrace/out_of_time.h"

namespace scrapetrace::cli {
namespace {

constexpr std::array kCommands{
    Command{"locate", "scans in, cleaning targets out: the main job", run_locate},
    Command{"recheck", "scans of before and after a cleaning: what it did, what is next", run_recheck},
    Command{"accept", "scans held against limits: pass, fail, cannot judge", run_accept},
    Command{"triage", "many cases: the worst and surest first", run_triage},
    Command{"case", "the history of a workshop's units, kept for good", run_case},
    Command{"layout", "check a layout file and show what it amounts to", run_layout},
    Command{"page", "make a test page, its chart, and paper rulers", run_page},
    Command{"simulate", "render the scan that a known cause would give", run_simulate},
    Command{"explain", "what a word of the trade means here", run_explain},
    Command{"manual", "a manual page, for man(1)", run_manual},
    Command{"completion", "a completion script for bash, zsh or fish", run_completion},
    Command{"score", "how good the answers are, over random cases", run_score},
};

std::string help() {
  std::string out =
      "scrapetrace finds, from scans of streaked prints, the printhead side that needs cleaning.\n\n"
      "Usage: scrapetrace COMMAND [OPTIONS] [FILES]\n\nCommands:\n";
  for (const Command& command : kCommands) out += fmt::format("  {:<10} {}\n", command.name, command.summary);
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
  for (const Command& command : kCommands) known.emplace_back(command.name);
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
  for (const Command& command : kCommands) {
    if (words[0] == command.name) return command.run({words.begin() + 1, words.end()});
  }
  return unknown_command(words[0]);
}

}  // namespace

std::span<const Command> commands() {
  return kCommands;
}

}  // namespace scrapetrace::cli

int main(int argc, char** argv) {
  using namespace scrapetrace::cli;
  prepare_heap();
  scrapetrace::remove_part_files_on_signals();
  std::signal(SIGXFSZ, SIG_IGN);  // a file that may not grow is a write that fails
  try {
    return static_cast<int>(run({argv + (argc > 0 ? 1 : 0), argv + argc}));
  } catch (const scrapetrace::OutOfTime&) {
    complain(
        "the scans were not judged to the end within the time for it; give fewer, or raise "
        "--most-case-seconds");
    return static_cast<int>(ExitStatus::scan_failed);
  } catch (const std::bad_alloc&) {
    std::fputs(
        "scrapetrace: out of memory; close other programs, scan at fewer dpi, or raise --most-case-memory\n",
        stderr);
  } catch (const std::exception& error) {
    complain(fmt::format("cannot go on: {}", error.what()));
  } catch (...) {
    std::fputs("scrapetrace: cannot go on, for a reason unknown\n", stderr);
  }
  return static_cast<int>(ExitStatus::bad_request);
}
