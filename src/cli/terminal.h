#pragma once
// Manners on a terminal: colour only there, and none for those who do not want it.

#include <cstddef>
#include <cstdio>
#include <string>

namespace scrapetrace::cli {

bool on_terminal(std::FILE* stream);

// On a terminal that is not "dumb", unless the environment's NO_COLOR is set and not empty (no-color.org).
bool colours_on(std::FILE* stream);

// A text report with its first line bold and its cautions bold and yellow.
std::string emphasised(const std::string& text);

}  // namespace scrapetrace::cli
