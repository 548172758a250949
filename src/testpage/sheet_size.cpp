#include "testpage/sheet_size.h"

#include <algorithm>
#include <cctype>
#include <charconv>

namespace scrapetrace::testpage {

namespace {

struct Sheet {
  const char* name;
  std::array<double, 2> mm;
};
constexpr std::array kSheets = {
    Sheet{"a4", {210, 297}},         Sheet{"a3", {297, 420}},         Sheet{"ra4", {215, 305}},
    Sheet{"ra3", {305, 430}},        Sheet{"sra4", {225, 320}},       Sheet{"sra3", {320, 450}},
    Sheet{"letter", {215.9, 279.4}}, Sheet{"ledger", {279.4, 431.8}},
};

std::optional<double> number(const char* from, const char* to) {
  double value = 0;
  const auto [end, error] = std::from_chars(from, to, value, std::chars_format::fixed);
  return error == std::errc() && end == to ? std::optional(value) : std::nullopt;
}

}  // namespace

std::optional<std::array<double, 2>> sheet_size(const std::string& words) {
  std::string lower = words;
  std::transform(lower.begin(), lower.end(), lower.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  for (const Sheet& sheet : kSheets) {
    if (lower == sheet.name) return sheet.mm;
  }
  const auto cross = lower.find('x');
  if (cross == std::string::npos) return std::nullopt;
  const auto width = number(lower.data(), lower.data() + cross);
  const auto length = number(lower.data() + cross + 1, lower.data() + lower.size());
  if (!width || !length) return std::nullopt;
  return std::array{*width, *length};
}

std::string known_sheets() {
  std::string names;
  for (const Sheet& sheet : kSheets) names += std::string(names.empty() ? "" : ", ") + sheet.name;
  return names;
}

}  // namespace scrapetrace::testpage
