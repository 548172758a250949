#pragma once
// Versions of this program and its libraries.

#include <string>
#include <utility>
#include <vector>

namespace scrapetrace::cli {

// (name, version), this program first.
std::vector<std::pair<std::string, std::string>> versions();

// Version and, where the system tells, the first 12 digits of the executable's SHA-256: another build is
// another program.
std::string this_build();

}  // namespace scrapetrace::cli
