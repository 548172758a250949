#include "cli/input.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "cli/standard_input.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace::cli {

namespace {

// A layout has some kilobytes; do not read a scan given by mistake.
constexpr std::uintmax_t kMostBytes = 4U << 20U;

}  // namespace

Result<std::string> load_text(const std::string& name) {
  const auto opened = path_for_reading(name);
  if (!opened) return opened.problems();
  const std::string& path = *opened;
  const std::string shown = shown_name(name);
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) {
    return Problem{shown, 0, 0, "is a folder; name a file in it"};
  }
  std::ifstream file(path, std::ios::binary);
  if (!file)
    return Problem{shown, 0, 0, fmt::format("cannot be read: {}; check the name", std::strerror(errno))};
  const auto size = std::filesystem::file_size(path, error);
  if (!error && size > kMostBytes) {
    return Problem{shown, 0, 0,
                   fmt::format("holds {} bytes; a file of this kind has at most {}", size, kMostBytes)};
  }
  std::ostringstream text;
  text << file.rdbuf();
  if (file.bad()) return Problem{shown, 0, 0, "cannot be read to its end; copy it to a sound disk"};
  return text.str();
}

Result<Layout> load_layout(const std::string& path) {
  const auto text = load_text(path);
  if (!text) return text.problems();
  return layout::read_layout(*text, shown_name(path));
}

Result<Chart> load_chart(const std::string& path, const Layout& layout) {
  const auto text = load_text(path);
  if (!text) return text.problems();
  return layout::read_chart(*text, shown_name(path), &layout);
}

Result<Limits> load_limits(const std::string& path) {
  const auto text = load_text(path);
  if (!text) return text.problems();
  return layout::read_limits(*text, shown_name(path));
}

Result<layout::Scenario> load_scenario(const std::string& path, const Layout& layout) {
  const auto text = load_text(path);
  if (!text) return text.problems();
  return layout::read_scenario(*text, shown_name(path), layout);
}

}  // namespace scrapetrace::cli
