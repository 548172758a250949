#pragma once
// Writes TOML values.

#include <string>

namespace scrapetrace::layout {

// A basic string, in quotes.
std::string toml_string(const std::string& text);
// A float: the shortest digits that read back as the same value, with a point.
std::string toml_float(double value);
// A comment, each line after "#"; empty for none.
std::string toml_remark(const std::string& text);

}  // namespace scrapetrace::layout
