#pragma once
// Definitions of the terms that reports use.

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace scrapetrace::report {

struct Term {
  std::string_view name;
  std::string_view meaning;    // one or two sentences
  std::string_view also = {};  // synonyms, separated by ", "
};

// In alphabetical order.
std::span<const Term> glossary();

// The entry for a name or synonym, ignoring case; null: none.
const Term* find_term(std::string_view word);

// Every word that find_term() knows.
std::vector<std::string> known_terms();

}  // namespace scrapetrace::report
