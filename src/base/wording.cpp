#include "base/wording.h"

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <utility>

namespace scrapetrace {

namespace {

// Edit distance with swaps of neighbours: the optimal string alignment distance of Damerau (1964) and
// Levenshtein (1966), from memory.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before;  // the rows of the last two characters of a, and this one's
  std::vector<std::size_t> above(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < a.size(); ++i) {
    before = std::exchange(above, row);
    row[0] = i + 1;
    for (std::size_t j = 0; j < b.size(); ++j) {
      row[j + 1] = std::min({above[j] + (a[i] == b[j] ? 0 : 1), row[j] + 1, above[j + 1] + 1});
      if (i > 0 && j > 0 && a[i] == b[j - 1] && a[i - 1] == b[j])
        row[j + 1] = std::min(row[j + 1], before[j - 1] + 1);
    }
  }
  return row[b.size()];
}

}  // namespace

std::string in_quotes(std::string_view text) {
  constexpr std::size_t kMost = 40;
  std::string out = "\"";
  for (const char c : text.substr(0, kMost)) {
    const auto byte = static_cast<unsigned char>(c);
    out += byte < 0x20 || byte == 0x7f ? '?' : c;
  }
  // Do not cut inside a multi-byte character.
  if (text.size() > kMost) {
    while (!out.empty() && (static_cast<unsigned char>(out.back()) & 0xC0) == 0x80) out.pop_back();
    if (!out.empty() && (static_cast<unsigned char>(out.back()) & 0xC0) == 0xC0) out.pop_back();
    out += "...";
  }
  return out + "\"";
}

std::string any_of(const std::vector<std::string>& words) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) out += i + 1 == words.size() ? " or " : ", ";
    out += in_quotes(words[i]);
  }
  return out;
}

std::string did_you_mean(std::string_view word, const std::vector<std::string>& known) {
  constexpr std::size_t kLongest = 40;
  constexpr std::size_t kShortest = 3;  // every word is near one of one or two letters
  if (word.size() < kShortest || word.size() > kLongest) return {};
  const std::string* best = nullptr;
  std::size_t fewest = std::max<std::size_t>(1, word.size() / 3) + 1;
  for (const auto& candidate : known) {
    if (candidate.size() > kLongest) continue;
    // "offset" for "offset_mm": as near as one edit.
    const std::size_t edits = candidate.starts_with(word) ? 1 : edit_distance(word, candidate);
    if (edits < fewest) {
      fewest = edits;
      best = &candidate;
    }
  }
  return best == nullptr ? std::string() : " Did you mean " + in_quotes(*best) + "?";
}

}  // namespace scrapetrace
