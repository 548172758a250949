#include "triage/open_inside.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <sstream>
#include <utility>

namespace scrapetrace::triage {

namespace {

namespace fs = std::filesystem;

constexpr int kReading = O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY;

Problem cannot_open(const std::string& name, int error) {
  if (error == ENOENT) return {name, 0, 0, "no such file; check the name"};
  return {name, 0, 0, std::string("cannot be opened: ") + std::strerror(error) + "; check its rights"};
}

// The path relative to the folder, links resolved; a problem when it leads outside.
Result<fs::path> resolved(const fs::path& root, const std::string& name) {
  std::error_code error;
  const fs::path target = fs::canonical(root / name, error);
  if (error) return cannot_open(name, error.value());
  const auto [in_root, in_target] = std::mismatch(root.begin(), root.end(), target.begin(), target.end());
  if (in_root != root.end() || in_target == target.end())
    return Problem{name, 0, 0,
                   "is a link that leads out of the folder and was not followed; put the file itself there"};
  return target.lexically_relative(root);
}

}  // namespace

OpenFile& OpenFile::operator=(OpenFile&& other) noexcept {
  std::swap(descriptor_, other.descriptor_);
  return *this;
}

OpenFile::~OpenFile() {
  if (descriptor_ >= 0) close(descriptor_);
}

std::string OpenFile::path() const {
  return "/proc/self/fd/" + std::to_string(descriptor_);
}

std::string OpenFile::stamp() const {
  struct stat about {};
  if (fstat(descriptor_, &about) != 0) return {};
  std::ostringstream out;
  out << about.st_dev << ' ' << about.st_ino << ' ' << about.st_size << ' ' << about.st_mtim.tv_sec << '.'
      << about.st_mtim.tv_nsec;
  return out.str();
}

std::string OpenFile::first_bytes(std::size_t count) const {
  std::string bytes(count, '\0');
  std::size_t had = 0;
  while (had < count) {
    const ssize_t got = pread(descriptor_, bytes.data() + had, count - had, static_cast<off_t>(had));
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) break;
    had += static_cast<std::size_t>(got);
  }
  bytes.resize(had);
  return bytes;
}

Result<std::string> OpenFile::contents(std::size_t most) const {
  struct stat about {};
  if (fstat(descriptor_, &about) != 0 || !S_ISREG(about.st_mode))
    return Problem{"", 0, 0, "is no plain file"};
  if (static_cast<std::uint64_t>(about.st_size) > most) {
    return Problem{
        "", 0, 0,
        "holds " + std::to_string(about.st_size) + " bytes; at most " + std::to_string(most) + " are read"};
  }
  return first_bytes(static_cast<std::size_t>(about.st_size));
}

Result<OpenFile> open_file(const std::string& path) {
  const int descriptor = open(path.c_str(), kReading);
  if (descriptor < 0) return cannot_open(path, errno);
  return OpenFile(descriptor);
}

// Opens the path component by component without following links, so that nobody can swap one in meanwhile.
Result<OpenFile> open_inside(const std::string& folder, const std::string& name) {
  std::error_code error;
  const fs::path root = fs::canonical(folder, error);
  if (error) return Problem{folder, 0, 0, "cannot be read: " + error.message()};
  const auto steps = resolved(root, name);
  if (!steps) return steps.problems();
  int parent = open(root.c_str(), O_PATH | O_DIRECTORY | O_CLOEXEC | O_NOFOLLOW);
  if (parent < 0) return cannot_open(folder, errno);
  OpenFile at(parent);
  for (auto step = steps->begin(); step != steps->end(); ++step) {
    const bool last = std::next(step) == steps->end();
    const int way = last ? kReading : O_PATH | O_DIRECTORY | O_CLOEXEC;
    const int next = openat(parent, step->c_str(), way | O_NOFOLLOW);
    if (next < 0 && (errno == ELOOP || errno == ENOTDIR))
      return Problem{name, 0, 0,
                     "was swapped for a link while it was worked on, and not followed; run this again"};
    if (next < 0) return cannot_open(name, errno);
    at = OpenFile(next);
    parent = next;
  }
  return at;
}

}  // namespace scrapetrace::triage
