// Commands for packagers: manual pages and completions.

#include <fmt/format.h>

#include "base/wording.h"
#include "cli/commands.h"
#include "cli/manual.h"
#include "cli/options.h"
#include "cli/output.h"

namespace scrapetrace::cli {

ExitStatus run_manual(const Arguments& arguments) {
  std::vector<std::string> words;
  Options options("manual [COMMAND]",
                  "Prints a manual page, of the program or of one command, for man(1) to show.",
                  "scrapetrace manual locate > scrapetrace-locate.1");
  options.words("command", words, 1);
  if (const auto status = options.parse(arguments)) return *status;
  if (words.empty()) return print_result(manual_overview(commands()));
  std::vector<std::string> known;
  for (const Command& command : commands()) {
    if (words[0] == command.name) return print_result(manual_page(Options::sheet_of(command), command));
    known.emplace_back(command.name);
  }
  return options.reject(
      fmt::format("unknown command {}.{}", in_quotes(words[0]), did_you_mean(words[0], known)));
}

ExitStatus run_completion(const Arguments& arguments) {
  std::vector<std::string> words;
  Options options("completion SHELL", "Prints a completion script for bash, zsh or fish.",
                  "scrapetrace completion bash > ~/.local/share/bash-completion/completions/scrapetrace");
  options.words("shell", words, 1);
  if (const auto status = options.parse(arguments)) return *status;
  std::vector<CommandSheet> sheets;
  for (const Command& command : commands()) sheets.push_back(Options::sheet_of(command));
  const std::string shell = words.empty() ? "" : words[0];
  if (shell == "bash") return print_bytes(bash_completion(commands(), sheets));
  if (shell == "zsh") return print_bytes(zsh_completion(commands(), sheets));
  if (shell == "fish") return print_bytes(fish_completion(commands(), sheets));
  return options.reject(fmt::format("the shell must be bash, zsh or fish{}.",
                                    shell.empty() ? "" : ", not " + in_quotes(shell)));
}

}  // namespace scrapetrace::cli
