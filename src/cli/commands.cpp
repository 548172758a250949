#include "cli/commands.h"

#include <array>

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
};

}  // namespace

std::span<const Command> commands() {
  return kCommands;
}

}  // namespace scrapetrace::cli
