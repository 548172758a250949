#include "layout/parse_toml.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

namespace scrapetrace::layout {

namespace {

// The file as lines, so that bad ones can be blanked without moving the others.
class Lines {
 public:
  explicit Lines(std::string_view text) : text_(text) {
    starts_.push_back(0);
    for (std::size_t i = 0; i < text_.size(); ++i) {
      if (text_[i] == '\n') starts_.push_back(i + 1);
    }
  }
  [[nodiscard]] int count() const { return static_cast<int>(starts_.size()); }
  [[nodiscard]] std::string_view all() const { return text_; }
  [[nodiscard]] std::string_view line(int number) const {
    return std::string_view(text_).substr(start(number), start(number + 1) - start(number));
  }
  [[nodiscard]] std::string_view before(int number) const {
    return std::string_view(text_).substr(0, start(number));
  }
  void blank(int number) {
    for (std::size_t i = start(number); i < start(number + 1); ++i) {
      if (text_[i] != '\n' && text_[i] != '\r') text_[i] = ' ';
    }
  }

 private:
  [[nodiscard]] std::size_t start(int number) const {
    return number > count() ? text_.size() : starts_[static_cast<std::size_t>(number - 1)];
  }
  std::string text_;
  std::vector<std::size_t> starts_;
};

struct SyntaxError {
  Place place;
  std::string what;
};

// "Error while parsing boolean: expected ..." becomes "not valid TOML (boolean): expected ...".
std::string in_our_words(std::string_view description) {
  constexpr std::string_view kPrefix = "Error while parsing ";
  const auto colon = description.find(": ");
  if (description.substr(0, kPrefix.size()) != kPrefix || colon == std::string_view::npos) {
    return fmt::format("not valid TOML: {}", description);
  }
  return fmt::format("not valid TOML ({}): {}", description.substr(kPrefix.size(), colon - kPrefix.size()),
                     description.substr(colon + 2));
}

std::optional<SyntaxError> try_parse(std::string_view text, toml::table& tree) {
  try {
    tree = toml::parse(text);
    return std::nullopt;
  } catch (const toml::parse_error& error) {
    const auto begin = error.source().begin;
    return SyntaxError{{static_cast<int>(begin.line), static_cast<int>(begin.column)},
                       in_our_words(error.description())};
  }
}

char first_sign(std::string_view line) {
  const auto i = line.find_first_not_of(" \t\r\n");
  return i == std::string_view::npos ? '\0' : line[i];
}

// An unclosed bracket or quote is noticed lines later; the last line before which all is well opened it.
int opening_line(const Lines& lines, int noticed) {
  constexpr int kLinesBack = 20;
  for (int n = noticed; n > std::max(0, noticed - kLinesBack); --n) {
    toml::table ignored;
    if (!try_parse(lines.before(n), ignored)) return n;
  }
  return noticed;
}

bool starts_statement(std::string_view line) {
  return first_sign(line) == '[' || line.find('=') != std::string_view::npos;
}

// Blanks what an error spoils, so that it is not reported again: a value of several lines from where it was
// opened up to the next statement; after a bad [header] also the keys, which would join another table.
void blank_spoilt(Lines& lines, int opened, int noticed) {
  const bool header = first_sign(lines.line(opened)) == '[';
  lines.blank(opened);
  int n = opened + 1;
  for (; n < noticed || (opened < noticed && n <= lines.count() && !starts_statement(lines.line(n))); ++n) {
    lines.blank(n);
  }
  for (; header && n <= lines.count() && first_sign(lines.line(n)) != '['; ++n) lines.blank(n);
}

std::optional<std::string> refusal(const Lines& lines, int& bad_line) {
  bad_line = 1;
  if (lines.all().size() > kMostBytes) {
    return fmt::format("the file holds {} bytes; allowed are at most {}. Check that it is the right file.",
                       lines.all().size(), kMostBytes);
  }
  for (int n = 1; n <= lines.count(); ++n) {
    const auto line = lines.line(n);
    if (first_sign(line) != '#' && std::count(line.begin(), line.end(), '.') > kMostDotsPerLine) {
      bad_line = n;
      return fmt::format("the line holds more than {} dots; no key or list of this format needs so many.",
                         kMostDotsPerLine);
    }
  }
  return std::nullopt;
}

}  // namespace

toml::table parse_toml(std::string_view text, ProblemList& problems) {
  Lines lines(text);
  toml::table tree;
  int bad_line = 1;
  if (const auto reason = refusal(lines, bad_line)) {
    problems.add({bad_line, 1}, *reason);
    problems.skipped_lines();
    return tree;
  }
  for (int found = 0; found < kMostSyntaxErrors; ++found) {
    const auto error = try_parse(lines.all(), tree);
    if (!error) return tree;
    problems.skipped_lines();
    const int noticed = std::min(error->place.line, lines.count());
    const int opened = opening_line(lines, noticed);
    const std::string hint =
        opened < noticed ? fmt::format(" (what line {} opens is not closed before)", opened) : "";
    problems.add(error->place, error->what + hint + ".");
    // A line that is blank already cannot be what the parser minds: going on would repeat the error.
    if (first_sign(lines.line(noticed)) == '\0' && opened == noticed) break;
    blank_spoilt(lines, opened, noticed);
  }
  return {};
}

}  // namespace scrapetrace::layout
