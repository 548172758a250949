#include "cli/versions.h"

#include <string_view>

#include "hash/sha256.h"

namespace scrapetrace::cli {

std::vector<std::pair<std::string, std::string>> versions() {
  std::vector<std::pair<std::string, std::string>> out{{"scrapetrace", SCRAPETRACE_VERSION}};
  std::string_view rest = SCRAPETRACE_LIBRARIES;  // "name version, name version", from the build
  while (!rest.empty()) {
    const auto end = rest.find(", ");
    const auto entry = rest.substr(0, end);
    const auto blank = entry.find(' ');
    out.emplace_back(entry.substr(0, blank), entry.substr(blank + 1));
    rest = end == std::string_view::npos ? "" : rest.substr(end + 2);
  }
  return out;
}

std::string this_build() {
  const auto digest = hash::sha256_of_file("/proc/self/exe");
  return std::string(SCRAPETRACE_VERSION) + (digest ? "-" + digest->substr(0, 12) : "");
}

}  // namespace scrapetrace::cli
