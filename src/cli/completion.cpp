#include <fmt/format.h>

#include "cli/manual.h"

namespace scrapetrace::cli {

namespace {

bool takes_file(const OptionRow& row) {
  for (const std::string_view word : {"FILE", "OUT", "IMG", "FOLDER", "SCAN"}) {
    if (row.value.find(word) != std::string::npos) return true;
  }
  return false;
}

// The choices in a placeholder such as "mm|inch".
std::string choices(const OptionRow& row) {
  if (row.value.find('|') == std::string::npos || takes_file(row)) return {};
  std::string out = row.value;
  for (char& c : out) c = c == '|' ? ' ' : c;
  return out;
}

// Single-quoted for bash, zsh or fish.
std::string in_quotes(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\'' || c == '[' || c == ']' || c == ':' || c == '\\') continue;
    out += c == '\n' ? ' ' : c;
  }
  return out;
}

std::string names_of(std::span<const Command> commands) {
  std::string out;
  for (const Command& command : commands) out += fmt::format("{}{}", out.empty() ? "" : " ", command.name);
  return out;
}

// The subcommands: "add show export".
std::string parts_of(const CommandSheet& sheet) {
  std::string out;
  for (const SheetPart& part : sheet.parts) out += (out.empty() ? "" : " ") + part.name;
  return out;
}

}  // namespace

std::string bash_completion(std::span<const Command> commands, const std::vector<CommandSheet>& sheets) {
  std::string out =
      "# bash completion for scrapetrace\n_scrapetrace() {\n"
      "  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} words= first=\n"
      "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n";
  out += fmt::format("    COMPREPLY=($(compgen -W '{} --help --version' -- \"$word\")); return\n  fi\n",
                     names_of(commands));
  out += "  case ${COMP_WORDS[1]}:$before in\n";
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    for (const OptionRow& row : sheets[i].options) {
      if (const auto words = choices(row); !words.empty())
        out += fmt::format("    {}:--{}) COMPREPLY=($(compgen -W '{}' -- \"$word\")); return ;;\n",
                           commands[i].name, row.name, words);
    }
  }
  out += "  esac\n  case ${COMP_WORDS[1]} in\n";
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    std::string words;
    for (const OptionRow& row : sheets[i].options) words += (words.empty() ? "--" : " --") + row.name;
    out += fmt::format("    {}) words='{}'", commands[i].name, words);
    if (const auto parts = parts_of(sheets[i]); !parts.empty())
      out += fmt::format("; [ \"$COMP_CWORD\" -eq 2 ] && first='{}'", parts);
    out += " ;;\n";
  }
  return out +
         "  esac\n  if [[ $word == -* ]]; then COMPREPLY=($(compgen -W \"$words\" -- \"$word\")); "
         "else COMPREPLY=($(compgen -W \"$first\" -- \"$word\") $(compgen -f -- \"$word\")); fi\n}\n"
         "complete -o filenames -F _scrapetrace scrapetrace\n";
}

std::string zsh_completion(std::span<const Command> commands, const std::vector<CommandSheet>& sheets) {
  std::string out =
      "#compdef scrapetrace\n_scrapetrace() {\n  if (( CURRENT == 2 )); then\n    local -a names=(\n";
  for (const Command& command : commands)
    out += fmt::format("      '{}:{}'\n", command.name, in_quotes(command.summary));
  out +=
      "    )\n    _describe command names\n    return\n  fi\n  local name=$words[2]\n  shift words\n"
      "  (( CURRENT-- ))\n  case $name in\n";
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    out += fmt::format("    {})\n      _arguments", commands[i].name);
    for (const OptionRow& row : sheets[i].options) {
      out += fmt::format(" \\\n        '--{}[{}]", row.name, in_quotes(row.help));
      const auto words = choices(row);
      if (!words.empty()) {
        out += fmt::format(":value:({})", words);
      } else if (!row.value.empty()) {
        out += takes_file(row) ? ":file:_files" : ":value:";
      }
      out += '\'';
    }
    if (const auto parts = parts_of(sheets[i]); !parts.empty())
      out +=
          fmt::format(" \\\n        '1:what:_alternative \"words:what:({})\" \"files:file:_files\"'", parts);
    out += std::string(sheets[i].takes_files ? " \\\n        '*:file:_files'" : "") + "\n      ;;\n";
  }
  return out + "  esac\n}\n_scrapetrace \"$@\"\n";
}

std::string fish_completion(std::span<const Command> commands, const std::vector<CommandSheet>& sheets) {
  std::string out = "# fish completion for scrapetrace\n";
  for (const Command& command : commands)
    out += fmt::format("complete -c scrapetrace -n __fish_use_subcommand -f -a {} -d '{}'\n", command.name,
                       in_quotes(command.summary));
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    if (const auto parts = parts_of(sheets[i]); !parts.empty())
      out += fmt::format(
          "complete -c scrapetrace -n '__fish_seen_subcommand_from {0}; and not "
          "__fish_seen_subcommand_from {1}' -a '{1}'\n",
          commands[i].name, parts);
    for (const OptionRow& row : sheets[i].options) {
      const auto words = choices(row);
      std::string value;
      if (!words.empty()) value = fmt::format(" -x -a '{}'", words);
      if (words.empty() && !row.value.empty()) value = takes_file(row) ? " -r -F" : " -x";
      out += fmt::format("complete -c scrapetrace -n '__fish_seen_subcommand_from {}' -l {}{} -d '{}'\n",
                         commands[i].name, row.name, value, in_quotes(row.help));
    }
  }
  return out;
}

}  // namespace scrapetrace::cli
