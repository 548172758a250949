#pragma once
// The file of a scan, opened once: whatever happens to its name afterwards, the bytes are that file's.

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
  // Problems: no such file, a folder, a pipe or device (reading one might never end), empty, too many bytes.
  static Result<ScanFile> open(const std::string& path, const ReadLimits& limits);
  // One that is open for reading already and is closed with this; `name` is for messages.
  ScanFile(std::string name, int descriptor);

  [[nodiscard]] const std::string& name() const { return name_; }
  // At its beginning. Whoever reads moves the one place that all share: one reader after the other.
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

// The same, for libraries that read by <cstdio>; null when there are no descriptors left.
using Stream = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;
Stream stream_of(const ScanFile& file);

// At most so many bytes from the file's place `at`, whatever its own place, so that several may read at the
// same time. How many: 0 at its end, below 0 when it cannot be read.
ssize_t read_some(int descriptor, void* to, std::size_t most, std::uint64_t at);

}  // namespace scrapetrace::scan
