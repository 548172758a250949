#pragma once
// Words of the trade, as this program uses them.

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace scrapetrace::report {

struct Term {
  std::string_view name;
  std::string_view meaning;    // one or two sentences
  std::string_view also = {};  // other words for it, separated by ", "
};

// In alphabetical order.
std::span<const Term> glossary();

// The entry for a name or another word for it, whatever its case; null when there is none.
const Term* find_term(std::string_view word);

// Every word that find_term() knows.
std::vector<std::string> known_terms();

}  // namespace scrapetrace::report
