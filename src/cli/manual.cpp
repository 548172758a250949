#include "cli/manual.h"

#include <fmt/format.h>

#include "report/words.h"

namespace scrapetrace::cli {

namespace {

// Escapes roff's special characters and lines that look like requests.
std::string roff(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if ((c == '.' || c == '\'') && (out.empty() || out.back() == '\n')) out += "\\&";
    if (c == '\\') {
      out += "\\e";
    } else if (c == '-') {
      out += "\\-";
    } else {
      out += c;
    }
  }
  return out;
}

std::string title(std::string_view name) {
  return fmt::format(".TH \"{}\" 1 \"\" \"scrapetrace {}\" \"User commands\"\n", roff(name),
                     SCRAPETRACE_VERSION);
}

std::string option_entry(const OptionRow& row) {
  std::string out = fmt::format(".TP\n.B \\-\\-{}", roff(row.name));
  if (!row.value.empty()) out += fmt::format(" \\fI{}\\fR", roff(row.value));
  out += fmt::format("\n{}", roff(row.help));
  if (!row.fallback.empty()) out += fmt::format(" (default {})", roff(row.fallback));
  return out + ".\n";
}

std::string cautions_part() {
  std::string out = ".SH CAUTIONS\n";
  for (const auto line : report::cautions()) out += fmt::format(".IP \\(bu 2\n{}\n", roff(line));
  return out;
}

constexpr std::string_view kStatus =
    ".SH EXIT STATUS\n0 when it ran to the end; 1 when some scan could not be analysed; 2 for a bad command "
    "line, input or output. More are in docs/exit\\-status.md.\n";

}  // namespace

std::string manual_page(const CommandSheet& sheet, const Command& command) {
  const std::string name = std::string("scrapetrace-") + command.name;
  std::string out = title(name);
  out += fmt::format(".SH NAME\n{} \\- {}\n", roff(name), roff(command.summary));
  out += fmt::format(".SH SYNOPSIS\n.B scrapetrace\n{}\n",
                     roff(sheet.usage.empty() ? command.name : sheet.usage));
  out += fmt::format(".SH DESCRIPTION\n{}\n", roff(sheet.about));
  if (!sheet.parts.empty()) out += ".SH SUBCOMMANDS\n";
  for (const SheetPart& part : sheet.parts)
    out += fmt::format(".TP\n.B {}\n{}\n", roff(part.usage), roff(part.about));
  if (sheet.cautions) out += cautions_part();
  out += ".SH OPTIONS\n";
  for (const OptionRow& row : sheet.options) out += option_entry(row);
  out += fmt::format(".SH EXAMPLE\n.nf\n{}\n.fi\n", roff(sheet.example));
  return out + std::string(kStatus) + ".SH SEE ALSO\n.BR scrapetrace (1)\n";
}

std::string manual_overview(std::span<const Command> commands) {
  std::string out = title("scrapetrace");
  out +=
      ".SH NAME\nscrapetrace \\- finds, from scans of streaked prints, the printhead side that needs "
      "cleaning\n"
      ".SH SYNOPSIS\n.B scrapetrace\nCOMMAND [OPTIONS] [FILES]\n.SH COMMANDS\n";
  for (const Command& command : commands)
    out += fmt::format(".TP\n.BR scrapetrace\\-{} (1)\n{}\n", roff(command.name), roff(command.summary));
  return out + cautions_part() + std::string(kStatus) +
         ".SH ENVIRONMENT\n.TP\n.B NO_COLOR\nset to anything: no colour on terminals either\n";
}

}  // namespace scrapetrace::cli
