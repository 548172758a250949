#pragma once
// This program and the libraries it was built with.

#include <string>
#include <utility>
#include <vector>

namespace scrapetrace::cli {

// Name and version, this program first.
std::vector<std::pair<std::string, std::string>> versions();

}  // namespace scrapetrace::cli
