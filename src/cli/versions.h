#pragma once
// This program and the libraries it was built with.

#include <string>
#include <utility>
#include <vector>

namespace scrapetrace::cli {

// Name and version, this program first.
std::vector<std::pair<std::string, std::string>> versions();

// Version and, where the system tells a program its own file, the first 12 digits of that file's SHA-256:
// another build is another program.
std::string this_build();

}  // namespace scrapetrace::cli
