#pragma once
// The file of a scan, opened once: renaming or replacing it later has no effect.

#include <sys/types.h>

#include <cstdint>
#include <cstdio>
#include <memory>
#include <string>

#include "scrapetrace/read_limits.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

class ScanFile {
 public:
  // Problems: no such file, a folder, a pipe or device (reading may never end), empty, too large.
  static Result<ScanFile> open(const std::string& path, const ReadLimits& limits);
  // Takes ownership of an open descriptor; `name` is for messages.
  ScanFile(std::string name, int descriptor);

  [[nodiscard]] const std::string& name() const { return name_; }
  // Rewinds and returns the descriptor. All readers share its offset: one at a time.
  [[nodiscard]] int at_start() const;
  [[nodiscard]] int descriptor() const { return descriptor_->number; }
  // The first bytes, at most `count`.
  [[nodiscard]] std::string first_bytes(std::size_t count) const;

 private:
  struct Descriptor {
    explicit Descriptor(int opened) : number(opened) {}
    ~Descriptor();
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    int number;
  };
  std::string name_;
  std::shared_ptr<const Descriptor> descriptor_;
};

// The same for libraries that read by <cstdio>; null when no descriptors are left.
using Stream = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;
Stream stream_of(const ScanFile& file);

// pread(2), repeated after a signal: at most `most` bytes from offset `at`. 0 at the end, negative on error.
// Several threads may read at once.
ssize_t read_some(int descriptor, void* to, std::size_t most, std::uint64_t at);

}  // namespace scrapetrace::scan
