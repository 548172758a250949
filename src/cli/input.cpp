#include "cli/input.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "layout/read_limits.h"

namespace scrapetrace::cli {

namespace {

// A machine's description is some kilobytes; a scan given by mistake is not read to its end.
constexpr std::uintmax_t kMostBytes = 4U << 20U;

}  // namespace

Result<std::string> load_text(const std::string& path) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) {
    return Problem{path, 0, 0, "is a folder; name a file in it"};
  }
  std::ifstream file(path, std::ios::binary);
  if (!file)
    return Problem{path, 0, 0, fmt::format("cannot be read: {}; check the name", std::strerror(errno))};
  const auto size = std::filesystem::file_size(path, error);
  if (!error && size > kMostBytes) {
    return Problem{path, 0, 0,
                   fmt::format("holds {} bytes; a file of this kind has at most {}", size, kMostBytes)};
  }
  std::ostringstream text;
  text << file.rdbuf();
  if (file.bad()) return Problem{path, 0, 0, "cannot be read to its end; copy it to a sound disk"};
  return text.str();
}

Result<Layout> load_layout(const std::string& path) {
  const auto text = load_text(path);
  if (!text) return text.problems();
  return layout::read_layout(*text, path);
}

Result<Chart> load_chart(const std::string& path, const Layout& layout) {
  const auto text = load_text(path);
  if (!text) return text.problems();
  return layout::read_chart(*text, path, &layout);
}

Result<Limits> load_limits(const std::string& path) {
  const auto text = load_text(path);
  if (!text) return text.problems();
  return layout::read_limits(*text, path);
}

Result<layout::Scenario> load_scenario(const std::string& path, const Layout& layout) {
  const auto text = load_text(path);
  if (!text) return text.problems();
  return layout::read_scenario(*text, path, layout);
}

}  // namespace scrapetrace::cli
