#include "cli/output.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>

#include "cli/terminal.h"
#include "report/words.h"

namespace scrapetrace::cli {

namespace {

namespace fs = std::filesystem;

fs::path folder_of(const fs::path& path) {
  return path.has_parent_path() ? path.parent_path() : fs::path(".");
}

Problem cannot_write(const std::string& path, const std::string& reason) {
  return {path, 0, 0, fmt::format("cannot be written: {}; name a file in a folder you may write to", reason)};
}

Problem is_there(const std::string& path) {
  return {path, 0, 0, "is there already; name another file, or give --force to replace it"};
}

Existing as_asked = Existing::keep;

bool write_all(const std::string& path, std::string_view bytes) {
  std::FILE* file = std::fopen(path.c_str(), "wb");
  if (file == nullptr) return false;
  const bool written = std::fwrite(bytes.data(), 1, bytes.size(), file) == bytes.size();
  const int error = errno;
  const bool closed = std::fclose(file) == 0;
  if (!written) errno = error;
  return written && closed;
}

}  // namespace

Problems printed(std::string_view bytes) {
  const bool written = std::fwrite(bytes.data(), 1, bytes.size(), stdout) == bytes.size();
  if (written && std::fflush(stdout) == 0) return {};
  return {
      {"", 0, 0, fmt::format("the result cannot be written to standard output: {}", std::strerror(errno))}};
}

ExitStatus print_result(std::string_view text) {
  const auto problems = printed(text);
  return problems.empty() ? ExitStatus::ok : refuse(problems);
}

ExitStatus print_answer(const std::string& text) {
  return print_result(colours_on(stdout) ? emphasised(text) : text);
}

ExitStatus hand_over(const std::string& path, std::string_view text) {
  if (path == "-") return print_result(text);
  const auto problems = write_file(path, text);
  return problems.empty() ? ExitStatus::ok : refuse(problems);
}

ExitStatus hand_over(const std::vector<Output>& outputs, const std::string& text) {
  Problems problems;
  const Output* alone = nullptr;
  for (const Output& output : outputs) {
    if (output.path == "-") {
      alone = &output;
    } else if (!output.path.empty()) {
      auto failed = write_file(output.path, output.bytes);
      problems.insert(problems.end(), failed.begin(), failed.end());
    }
  }
  const auto printed = alone == nullptr ? print_answer(text) : print_result(alone->bytes);
  return problems.empty() ? printed : refuse(problems);
}

std::string two_on_stdout(const std::vector<std::pair<std::string, std::string>>& options) {
  std::string first;
  for (const auto& [name, path] : options) {
    if (path != "-") continue;
    if (!first.empty())
      return fmt::format("{} and {} cannot both go to standard output; name a file for one of them.", first,
                         name);
    first = name;
  }
  return {};
}

void complain(std::string_view text) {
  std::string shown;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    shown += report::printable(text.substr(at, end - at)) + '\n';
    at = end + 1;
  }
  std::fprintf(stderr, "scrapetrace: %s", shown.c_str());
}

void complain(const Problems& problems) {
  for (const Problem& problem : problems) complain(report::printable(to_string(problem)));
}

ExitStatus refuse(const Problems& problems) {
  complain(problems);
  return ExitStatus::bad_request;
}

void replace_outputs() {
  as_asked = Existing::replace;
}

Existing output_policy() {
  return as_asked;
}

Problems check_writable(const std::string& path, Existing existing) {
  const fs::path folder = folder_of(path);
  std::error_code error;
  if (fs::is_directory(path, error)) return {cannot_write(path, "it is a folder")};
  if (fs::exists(path, error) && !fs::is_regular_file(path, error))
    return {cannot_write(path, "it is a device or pipe, not a file")};
  if (existing == Existing::keep && fs::exists(fs::symlink_status(path, error))) return {is_there(path)};
  if (!fs::is_directory(folder, error)) {
    return {cannot_write(path, fmt::format("the folder {} does not exist", folder.string()))};
  }
  if (access(folder.c_str(), W_OK) != 0) return {cannot_write(path, std::strerror(errno))};
  return {};
}

Problems write_file(const std::string& path, std::string_view bytes, Existing existing) {
  PartFile part(path);
  if (!write_all(part.path(), bytes)) return {cannot_write(path, std::strerror(errno))};
  if (const auto reason = part.put_in_place(existing); !reason.empty()) return {cannot_write(path, reason)};
  return {};
}

}  // namespace scrapetrace::cli
