#include "report/units.h"

#include <algorithm>
#include <cctype>
#include <cstdlib>

#include "report/words.h"

namespace scrapetrace::report {

namespace {

constexpr double kMmPerInch = 25.4;
constexpr int kMostInchDigits = 3;

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

// Start of the number that ends at `end`; `end` when there is none.
std::size_t start_of_number(std::string_view text, std::size_t end) {
  std::size_t start = end;
  while (start > 0 && (is_digit(text[start - 1]) || text[start - 1] == '.')) --start;
  while (start < end && text[start] == '.') ++start;
  return start;
}

int digits_after_point(std::string_view number) {
  const auto point = number.find('.');
  return point == std::string_view::npos ? 0 : static_cast<int>(number.size() - point - 1);
}

}  // namespace

std::string length_value(double mm, int digits, LengthUnit unit) {
  if (unit == LengthUnit::mm) return decimals(mm, digits);
  return decimals(mm / kMmPerInch, std::min(digits + 2, kMostInchDigits));
}

std::string length(double mm, int digits, LengthUnit unit) {
  return length_value(mm, digits, unit) + ' ' + unit_word(unit);
}

const char* unit_word(LengthUnit unit) {
  return unit == LengthUnit::mm ? "mm" : "in";
}

std::string sentence_in(std::string_view sentence, LengthUnit unit) {
  if (unit == LengthUnit::mm) return std::string(sentence);
  constexpr std::string_view kWord = " mm";
  std::string out;
  std::size_t done = 0;
  for (auto at = sentence.find(kWord); at != std::string_view::npos; at = sentence.find(kWord, at + 1)) {
    const std::size_t after = at + kWord.size();
    const bool whole_word =
        after == sentence.size() || std::isalpha(static_cast<unsigned char>(sentence[after])) == 0;
    const std::size_t start = start_of_number(sentence, at);
    if (!whole_word || start == at || start < done) continue;
    const std::string number(sentence.substr(start, at - start));
    out += sentence.substr(done, start - done);
    out += length(std::strtod(number.c_str(), nullptr), digits_after_point(number), unit);
    done = after;
  }
  return out + std::string(sentence.substr(done));
}

}  // namespace scrapetrace::report
