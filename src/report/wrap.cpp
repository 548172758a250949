#include "report/wrap.h"

#include <algorithm>

namespace scrapetrace::report {

namespace {

bool continues_character(char c) {
  return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
}

// Columns at one per character, which suffices for the scripts of names.
std::size_t columns(std::string_view text) {
  return text.size() - static_cast<std::size_t>(std::count_if(text.begin(), text.end(), continues_character));
}

// Bytes of the first `limit` columns.
std::size_t bytes_of(std::string_view text, std::size_t limit) {
  std::size_t bytes = 0;
  for (std::size_t n = 0; bytes < text.size(); ++bytes) {
    if (!continues_character(text[bytes]) && n++ == limit) break;
  }
  return bytes;
}

// Keeps a number and its unit on one line.
std::size_t end_of_word(std::string_view text) {
  const auto end = text.find(' ');
  if (end == std::string_view::npos) return end;
  const auto rest = text.substr(end + 1);
  const bool number = end > 0 && text[end - 1] >= '0' && text[end - 1] <= '9';
  for (const std::string_view unit : {"%", "mm", "deg", "min", "dpi"}) {
    if (number && rest.starts_with(unit)) return std::min(text.find(' ', end + 1), text.size());
  }
  return end;
}

std::string_view take_word(std::string_view& text, std::size_t room) {
  const auto start = text.find_first_not_of(' ');
  if (start == std::string_view::npos) return text = {};
  text.remove_prefix(start);
  const auto word = text.substr(0, std::min(end_of_word(text), bytes_of(text, room)));
  text.remove_prefix(word.size());
  return word;
}

}  // namespace

std::string wrap(std::string_view first, std::string_view text, std::size_t width) {
  const std::size_t indent = columns(first);
  const std::size_t room = width > indent + 8 ? width - indent : 8;
  std::string out(first);
  std::size_t used = 0;
  for (auto word = take_word(text, room); !word.empty(); word = take_word(text, room)) {
    const std::size_t length = columns(word);
    if (used > 0 && used + 1 + length > room) {
      out += '\n' + std::string(indent, ' ');
      used = 0;
    }
    if (used > 0) out += ' ';
    used += length + (used > 0 ? 1 : 0);
    out += word;
  }
  return out + '\n';
}

}  // namespace scrapetrace::report
