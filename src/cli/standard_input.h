#pragma once
// "-" for standard input where a file is read. It is kept in a file of its own until the program ends, since
// scans are read more than once.

#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::cli {

inline constexpr const char* kStandardInput = "standard input";  // its name in messages

// What the user is told: kStandardInput for "-".
std::string shown_name(const std::string& name);

// The file to open: `name` itself, or where standard input is kept. It can stand for one input only: to ask
// twice is a problem.
Result<std::string> path_for_reading(const std::string& name);

// The same for looking at what an input holds; does not count as a use.
Result<std::string> path_read(const std::string& name);

}  // namespace scrapetrace::cli
