#include <fmt/format.h>

#include "base/wording.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/output.h"
#include "report/glossary.h"
#include "report/wrap.h"

namespace scrapetrace::cli {

namespace {

std::string entry(const report::Term& term) {
  std::string out = report::wrap("", fmt::format("{}: {}", term.name, term.meaning));
  if (!term.also.empty()) out += report::wrap("  ", fmt::format("Also: {}.", term.also));
  return out;
}

}  // namespace

ExitStatus run_explain(const Arguments& arguments) {
  std::vector<std::string> words;
  Options options("explain [TERM]",
                  "Says what a word of the trade means here; without a word, what all of them mean.",
                  "scrapetrace explain residue");
  options.words("term", words, -1);
  if (const auto status = options.parse(arguments)) return *status;
  std::string wanted;
  for (const auto& word : words) wanted += (wanted.empty() ? "" : " ") + word;
  std::string out;
  if (wanted.empty()) {
    for (const auto& term : report::glossary()) out += entry(term);
    return print_result(out);
  }
  const auto* term = report::find_term(wanted);
  if (term != nullptr) return print_result(entry(*term));
  return options.reject(
      fmt::format("no entry for {}.{}", in_quotes(wanted), did_you_mean(wanted, report::known_terms())));
}

}  // namespace scrapetrace::cli
