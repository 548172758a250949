#pragma once
// Helpers for messages: quoting, and suggestions for misspelt words.

#include <string>
#include <string_view>
#include <vector>

namespace scrapetrace {

// The text in quotes, shortened, without control characters.
std::string in_quotes(std::string_view text);
// "a", "b" or "c", each in quotes.
std::string any_of(const std::vector<std::string>& words);
// " Did you mean \"x\"?" when one of `known` is close to `word`, else nothing.
std::string did_you_mean(std::string_view word, const std::vector<std::string>& known);

}  // namespace scrapetrace
