#include "report/table.h"

#include <algorithm>
#include <cstddef>

namespace scrapetrace::report {

namespace {

std::size_t characters(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

}  // namespace

std::string table(const std::string& align, const std::vector<TableRow>& rows) {
  std::vector<std::size_t> widths(align.size(), 0);
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < align.size(); ++i) widths[i] = std::max(widths[i], characters(row[i]));
  }
  std::string out;
  for (const auto& row : rows) {
    std::string line;
    for (std::size_t i = 0; i < align.size(); ++i) {
      const std::string pad(widths[i] - characters(row[i]), ' ');
      line += "  " + (align[i] == 'r' ? pad + row[i] : row[i] + pad);
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
  }
  return out;
}

}  // namespace scrapetrace::report
