#include "cli/standard_input.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <optional>

#include "base/atomic_file.h"

namespace scrapetrace::cli {

namespace {

namespace fs = std::filesystem;

// Above any supported scan; an endless stream must not fill the disk.
constexpr std::size_t kMostInputBytes = std::size_t{4} << 30U;

struct Kept {
  std::string folder;
  std::optional<AtomicFile> file;  // never committed, so that a signal removes it
  std::string fault;               // why it could not be stored
  bool used = false;
  ~Kept() {
    std::error_code ignored;
    file.reset();
    if (!folder.empty()) fs::remove_all(folder, ignored);
  }
};

Kept& kept() {
  static Kept the;
  return the;
}

Problem problem(const std::string& what) {
  return {kStandardInput, 0, 0, what};
}

// Empty on success.
std::string copy_to(const std::string& path) {
  std::FILE* out = std::fopen(path.c_str(), "wb");
  if (out == nullptr) return std::strerror(errno);
  std::string piece(std::size_t{1} << 16U, '\0');
  std::size_t total = 0;
  bool written = true;
  for (std::size_t n = 0; written && (n = std::fread(piece.data(), 1, piece.size(), stdin)) > 0;) {
    total += n;
    written = total <= kMostInputBytes && std::fwrite(piece.data(), 1, n, out) == n;
  }
  const bool closed = std::fclose(out) == 0;
  if (total > kMostInputBytes) return "it has more bytes than a scan may have";
  if (std::ferror(stdin) != 0) return "it cannot be read to its end";
  return written && closed ? "" : std::strerror(errno);
}

void keep_input(Kept& keep) {
  std::error_code error;
  std::string folder = (fs::temp_directory_path(error) / "scrapetrace-XXXXXX").string();
  if (error || mkdtemp(folder.data()) == nullptr) {
    keep.fault = "cannot be kept: there is no folder for temporary files; set TMPDIR to one.";
    return;
  }
  keep.folder = folder;
  keep.file.emplace(folder + "/" + kStandardInput);
  if (const auto why = copy_to(keep.file->path()); !why.empty())
    keep.fault = fmt::format("cannot be kept in {}: {}; set TMPDIR to a folder with more room.", folder, why);
}

}  // namespace

std::string shown_name(const std::string& name) {
  return name == "-" ? kStandardInput : name;
}

Result<std::string> path_read(const std::string& name) {
  if (name != "-") return name;
  Kept& keep = kept();
  if (!keep.file && keep.fault.empty()) keep_input(keep);
  if (!keep.fault.empty()) return problem(keep.fault);
  return keep.file->path();
}

Result<std::string> path_for_reading(const std::string& name) {
  if (name != "-") return name;
  if (kept().used) return problem("is given for two inputs, and can be only one; name a file for the other.");
  kept().used = true;
  return path_read(name);
}

}  // namespace scrapetrace::cli
