#pragma once
// Terminal output: colours only where supported and wanted.

#include <cstddef>
#include <cstdio>
#include <string>

namespace scrapetrace::cli {

bool on_terminal(std::FILE* stream);

// True on a terminal that is not "dumb", unless NO_COLOR is set and not empty (no-color.org).
bool colours_on(std::FILE* stream);

// A text report with bold first line and bold yellow cautions.
std::string emphasised(const std::string& text);

}  // namespace scrapetrace::cli
