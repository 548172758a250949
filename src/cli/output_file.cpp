#include "cli/output_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstring>
#include <filesystem>
#include <optional>
#include <tuple>

#include "base/wording.h"
#include "scan/page_name.h"

namespace scrapetrace::cli {

namespace {

namespace fs = std::filesystem;

Existing as_asked = Existing::keep;

fs::path folder_of(const fs::path& path) {
  return path.has_parent_path() ? path.parent_path() : fs::path(".");
}

Problem cannot_write(const std::string& path, const std::string& reason) {
  return {path, 0, 0, fmt::format("cannot be written: {}; name a file in a folder you may write to", reason)};
}

Problem is_there(const std::string& path) {
  return {path, 0, 0, "is there already; name another file, or give --force to replace it"};
}

// 3 for "/dev/fd/3". Reopening that path would start at the beginning of the file.
std::optional<int> descriptor_named(std::string_view path) {
  if (path == "/dev/stdout") return STDOUT_FILENO;
  if (path == "/dev/stderr") return STDERR_FILENO;
  for (const std::string_view folder : {"/dev/fd/", "/proc/self/fd/"}) {
    if (!path.starts_with(folder)) continue;
    const std::string_view digits = path.substr(folder.size());
    int number = -1;
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (read.ec == std::errc() && read.ptr == digits.data() + digits.size()) return number;
  }
  return std::nullopt;
}

// Identity of a file independent of its name; of a missing file its folder and name.
using Identity = std::tuple<dev_t, ino_t, std::string>;
std::optional<Identity> identity_of(const std::string& path) {
  struct stat about {};
  const bool there =
      path == "-" ? fstat(STDIN_FILENO, &about) == 0 : !path.empty() && stat(path.c_str(), &about) == 0;
  if (there && (S_ISREG(about.st_mode) || S_ISDIR(about.st_mode)))
    return Identity(about.st_dev, about.st_ino, "");
  if (there || path == "-" || stat(folder_of(path).c_str(), &about) != 0) return std::nullopt;
  return Identity(about.st_dev, about.st_ino, fs::path(path).filename().string());
}

std::string shown(const NamedFile& file) {
  return file.role + ' ' + in_quotes(file.path);
}

std::string write_stream(const std::string& path, std::string_view bytes) {
  const auto named = descriptor_named(path);
  const int descriptor = named ? dup(*named) : open(path.c_str(), O_WRONLY | O_CLOEXEC | O_NOCTTY);
  if (descriptor < 0) return std::strerror(errno);
  std::string wrong = write_all(descriptor, bytes);
  close(descriptor);
  return wrong;
}

}  // namespace

std::string overwrites(const std::vector<NamedFile>& inputs, const std::vector<NamedFile>& outputs) {
  std::vector<std::pair<Identity, const NamedFile*>> taken;
  for (const NamedFile& input : inputs) {
    if (const auto file = identity_of(scan::page_named(input.path).file)) taken.emplace_back(*file, &input);
  }
  for (const NamedFile& output : outputs) {
    if (output.path.empty() || output.path == "-" || descriptor_named(output.path))
      continue;  // not requested
    const auto file = identity_of(output.path);
    if (!file) continue;
    for (const auto& [other, named] : taken) {
      if (other == *file)
        return fmt::format("{} is the same file as {}, and would destroy it; name another file.",
                           shown(output), shown(*named));
    }
    taken.emplace_back(*file, &output);
  }
  return {};
}

void replace_outputs() {
  as_asked = Existing::replace;
}

Existing output_policy() {
  return as_asked;
}

bool is_stream(const std::string& path) {
  if (descriptor_named(path)) return true;
  std::error_code error;
  const auto status = fs::status(path, error);
  return fs::is_character_file(status) || fs::is_fifo(status);
}

Problems check_writable(const std::string& path, Existing existing) {
  std::error_code error;
  if (const auto named = descriptor_named(path)) {
    const int mode = fcntl(*named, F_GETFL);
    if (mode < 0 || (mode & O_ACCMODE) == O_RDONLY)
      return {cannot_write(path, "nothing is open there to write to")};
    return {};
  }
  if (fs::is_directory(path, error)) return {cannot_write(path, "it is a folder")};
  if (is_stream(path)) {
    if (access(path.c_str(), W_OK) != 0) return {cannot_write(path, std::strerror(errno))};
    return {};
  }
  if (fs::exists(path, error) && !fs::is_regular_file(path, error))
    return {cannot_write(path, "it is a disk or a socket, not a file")};
  if (existing == Existing::keep && fs::exists(fs::symlink_status(path, error))) return {is_there(path)};
  const fs::path folder = folder_of(path);
  if (!fs::is_directory(folder, error))
    return {cannot_write(path, fmt::format("the folder {} does not exist", folder.string()))};
  if (access(folder.c_str(), W_OK) != 0) return {cannot_write(path, std::strerror(errno))};
  return {};
}

Problems check_kept(const std::string& path) {
  if (is_stream(path))
    return {cannot_write(path, "what is kept there is read again, and it is a device or pipe")};
  return check_writable(path, Existing::replace);
}

Problems write_file(const std::string& path, std::string_view bytes, Existing existing) {
  if (is_stream(path)) {
    if (const auto reason = write_stream(path, bytes); !reason.empty()) return {cannot_write(path, reason)};
    return {};
  }
  AtomicFile part(path);
  std::string reason = part.write(bytes);
  if (reason.empty()) reason = part.commit(existing);
  return reason.empty() ? Problems{} : Problems{cannot_write(path, reason)};
}

}  // namespace scrapetrace::cli
