#include "scan/scan_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cmath>
#include <cstring>
#include <utility>

namespace scrapetrace::scan {

namespace {

std::string wrong_with(const struct stat& file, const ReadLimits& limits) {
  if (S_ISDIR(file.st_mode)) return "is a folder; name the scan files in it";
  if (!S_ISREG(file.st_mode)) return "is a pipe or a device, not a file; save the scan to a file";
  if (file.st_size == 0) return "the file is empty; scan or copy it again";
  const double megabytes = static_cast<double>(file.st_size) / 1e6;
  if (!(megabytes <= limits.megabytes)) {
    return "holds " + std::to_string(std::llround(std::ceil(megabytes))) + " MB; at most " +
           std::to_string(std::llround(limits.megabytes)) +
           " are read: check that it is a scan, or raise --most-megabytes";
  }
  return {};
}

}  // namespace

ScanFile::Descriptor::~Descriptor() {
  if (number >= 0) close(number);
}

ScanFile::ScanFile(std::string name, int descriptor)
    : name_(std::move(name)), descriptor_(std::make_shared<const Descriptor>(descriptor)) {}

Result<ScanFile> ScanFile::open(const std::string& path, const ReadLimits& limits) {
  // O_NONBLOCK: opening a pipe would wait for a writer.
  const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
  if (descriptor < 0 && errno == ENOENT) return Problem{path, 0, 0, "no such file; check the name"};
  if (descriptor < 0) {
    return Problem{path, 0, 0,
                   std::string("cannot be opened: ") + std::strerror(errno) + "; check its rights"};
  }
  ScanFile file(path, descriptor);
  struct stat about {};
  if (fstat(descriptor, &about) != 0)
    return Problem{path, 0, 0,
                   std::string("cannot be looked at: ") + std::strerror(errno) + "; copy it again"};
  if (auto what = wrong_with(about, limits); !what.empty()) return Problem{path, 0, 0, std::move(what)};
  return file;
}

int ScanFile::at_start() const {
  lseek(descriptor(), 0, SEEK_SET);
  return descriptor();
}

std::string ScanFile::first_bytes(std::size_t count) const {
  std::string bytes(count, '\0');
  const ssize_t got = read_some(descriptor(), bytes.data(), count, 0);
  bytes.resize(got < 0 ? 0 : static_cast<std::size_t>(got));
  return bytes;
}

ssize_t read_some(int descriptor, void* to, std::size_t most, std::uint64_t at) {
  ssize_t got = -1;
  do {
    got = pread(descriptor, to, most, static_cast<off_t>(at));
  } while (got < 0 && errno == EINTR);
  return got;
}

Stream stream_of(const ScanFile& file) {
  const int own = dup(file.at_start());
  return {own < 0 ? nullptr : fdopen(own, "rb"), [](std::FILE* stream) { return std::fclose(stream); }};
}

}  // namespace scrapetrace::scan
