#pragma once
// Manual pages and shell completions, from the same tables as --help.

#include <span>
#include <string>

#include "cli/command_sheet.h"
#include "cli/commands.h"

namespace scrapetrace::cli {

// A page in man(7) macros. A command without options is described by its table entry.
std::string manual_page(const CommandSheet& sheet, const Command& command);
std::string manual_overview(std::span<const Command> commands);

// A completion script; `sheets` has one entry per command, in order.
std::string bash_completion(std::span<const Command> commands, const std::vector<CommandSheet>& sheets);
std::string zsh_completion(std::span<const Command> commands, const std::vector<CommandSheet>& sheets);
std::string fish_completion(std::span<const Command> commands, const std::vector<CommandSheet>& sheets);

}  // namespace scrapetrace::cli
