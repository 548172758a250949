#include "report/csv.h"

#include <algorithm>
#include <array>

#include "report/utf8.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

using namespace std::string_view_literals;

// Unicode White_Space except control characters, and the two zero-width spaces.
bool is_blank(std::string_view character) {
  constexpr std::array kBlanks{" "sv,      "\u00A0"sv, "\u1680"sv, "\u2028"sv, "\u2029"sv,
                               "\u202F"sv, "\u205F"sv, "\u3000"sv, "\u200B"sv, "\uFEFF"sv};
  const bool wide = character >= "\u2000"sv && character <= "\u200A"sv && character.size() == 3;
  return wide || std::find(kBlanks.begin(), kBlanks.end(), character) != kBlanks.end();
}

// Includes the full-width forms that East Asian spreadsheets accept.
bool begins_formula(std::string_view character) {
  constexpr std::array kSigns{"="sv, "+"sv, "-"sv, "@"sv, "\uFF1D"sv, "\uFF0B"sv, "\uFF0D"sv, "\uFF20"sv};
  return std::find(kSigns.begin(), kSigns.end(), character) != kSigns.end();
}

// Spreadsheets skip leading control characters and spaces.
bool would_run(std::string_view text) {
  while (!text.empty()) {
    const std::size_t length = std::max<std::size_t>(1, utf8_length(text));
    const std::string_view character = text.substr(0, length);
    if (begins_formula(character)) return true;
    if (!is_blank(character) && printable(character) == character) return false;
    text.remove_prefix(length);
  }
  return false;
}

}  // namespace

std::string csv_cell(std::string_view text) {
  std::string out = would_run(text) ? "\"'" : "\"";
  for (const char c : printable(text)) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

}  // namespace scrapetrace::report
