#include "layout/toml_text.h"

#include <fmt/format.h>

namespace scrapetrace::layout {

std::string toml_string(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
      out += fmt::format("\\u{:04X}", static_cast<unsigned char>(c));
    } else {
      out += c;
    }
  }
  return out + '"';
}

std::string toml_float(double value) {
  std::string text = fmt::format("{}", value);
  if (text.find_first_of(".en") == std::string::npos) text += ".0";
  return text;
}

std::string toml_remark(const std::string& text) {
  std::string out = text.empty() ? "" : "# ";
  for (const char c : text) out += c == '\n' ? std::string("\n# ") : std::string(1, c);
  if (!text.empty()) out += '\n';
  return out;
}

}  // namespace scrapetrace::layout
