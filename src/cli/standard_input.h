#pragma once
// "-" for standard input, stored in a temporary file until the program ends, since scans are read more than
// once.

#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::cli {

inline constexpr const char* kStandardInput = "standard input";  // its name in messages

// The name shown to the user: kStandardInput for "-".
std::string shown_name(const std::string& name);

// The file to open: `name`, or the stored standard input. A second use is a problem.
Result<std::string> path_for_reading(const std::string& name);

// The same for inspecting an input, without counting as a use.
Result<std::string> path_read(const std::string& name);

}  // namespace scrapetrace::cli
