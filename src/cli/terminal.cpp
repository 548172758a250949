#include "cli/terminal.h"

#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <string_view>

namespace scrapetrace::cli {

namespace {

constexpr std::string_view kBold = "\033[1m";
constexpr std::string_view kWarning = "\033[1;33m";
constexpr std::string_view kPlain = "\033[0m";

std::string painted(std::string_view line, std::string_view how) {
  return std::string(how) + std::string(line) + std::string(kPlain);
}

}  // namespace

bool on_terminal(std::FILE* stream) {
  return isatty(fileno(stream)) == 1;
}

bool colours_on(std::FILE* stream) {
  const char* refused = std::getenv("NO_COLOR");
  const char* kind = std::getenv("TERM");
  if (refused != nullptr && *refused != '\0') return false;
  return on_terminal(stream) && (kind == nullptr || std::string_view(kind) != "dumb");
}

std::string emphasised(const std::string& text) {
  std::string out;
  bool cautions = false;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string_view line(text.data() + at, end - at);
    cautions = line.starts_with("CAUTION") || (cautions && !line.empty());
    const bool warning = cautions || line.find("never scrape") != std::string_view::npos;
    if (warning) {
      out += painted(line, kWarning);
    } else {
      out += at == 0 && !line.empty() ? painted(line, kBold) : std::string(line);
    }
    out += '\n';
    at = end + 1;
  }
  return out;
}

}  // namespace scrapetrace::cli
