#pragma once
// The commands; each parses its own arguments, prints its result to stdout and everything else to stderr.

#include <span>
#include <string>
#include <vector>

#include "cli/exit_status.h"

namespace scrapetrace::cli {

using Arguments = std::vector<std::string>;  // after the command's name

struct Command {
  const char* name;
  const char* summary;
  ExitStatus (*run)(const Arguments& arguments);
};

// All commands in the order of help.
std::span<const Command> commands();

ExitStatus run_explain(const Arguments& arguments);
ExitStatus run_manual(const Arguments& arguments);
ExitStatus run_completion(const Arguments& arguments);
ExitStatus run_layout(const Arguments& arguments);
ExitStatus run_page(const Arguments& arguments);
ExitStatus run_simulate(const Arguments& arguments);
ExitStatus run_locate(const Arguments& arguments);
ExitStatus run_recheck(const Arguments& arguments);
ExitStatus run_accept(const Arguments& arguments);
ExitStatus run_triage(const Arguments& arguments);
ExitStatus run_case(const Arguments& arguments);

}  // namespace scrapetrace::cli
