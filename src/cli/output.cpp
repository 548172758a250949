#include "cli/output.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>

#include "cli/terminal.h"

namespace scrapetrace::cli {

namespace {

namespace fs = std::filesystem;

fs::path folder_of(const fs::path& path) {
  return path.has_parent_path() ? path.parent_path() : fs::path(".");
}

Problem cannot_write(const std::string& path, const std::string& reason) {
  return {path, 0, 0, fmt::format("cannot be written: {}; name a file in a folder you may write to", reason)};
}

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

ExitStatus print_result(std::string_view text) {
  const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (written && std::fflush(stdout) == 0) return ExitStatus::ok;
  complain(fmt::format("the result cannot be written to standard output: {}", std::strerror(errno)));
  return ExitStatus::bad_request;
}

ExitStatus print_answer(const std::string& text) {
  return print_result(colours_on(stdout) ? emphasised(text) : text);
}

void complain(std::string_view text) {
  std::fprintf(stderr, "scrapetrace: %.*s\n", static_cast<int>(text.size()), text.data());
}

void complain(const Problems& problems) {
  for (const Problem& problem : problems) complain(to_string(problem));
}

ExitStatus refuse(const Problems& problems) {
  complain(problems);
  return ExitStatus::bad_request;
}

Problems check_writable(const std::string& path) {
  const fs::path folder = folder_of(path);
  std::error_code error;
  if (fs::is_directory(path, error)) return {cannot_write(path, "it is a folder")};
  if (!fs::is_directory(folder, error)) {
    return {cannot_write(path, fmt::format("the folder {} does not exist", folder.string()))};
  }
  if (access(folder.c_str(), W_OK) != 0) return {cannot_write(path, std::strerror(errno))};
  return {};
}

Problems write_file(const std::string& path, std::string_view bytes) {
  const fs::path target(path);
  const fs::path part = folder_of(target) / fmt::format(".{}.{}.part", target.filename().string(), getpid());
  if (!write_all(part.string(), bytes) || std::rename(part.c_str(), path.c_str()) != 0) {
    const Problem problem = cannot_write(path, std::strerror(errno));
    std::error_code ignored;
    fs::remove(part, ignored);
    return {problem};
  }
  return {};
}

}  // namespace scrapetrace::cli
