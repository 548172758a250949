#pragma once
// Opens a scan so that hashing and reading see the same file, inside the folder that was listed, even if
// somebody replaces its name or a parent folder meanwhile.

#include <cstddef>
#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::triage {

// An open file; closes it when destroyed.
class OpenFile {
 public:
  explicit OpenFile(int descriptor) : descriptor_(descriptor) {}
  OpenFile(OpenFile&& other) noexcept : descriptor_(other.descriptor_) { other.descriptor_ = -1; }
  OpenFile& operator=(OpenFile&& other) noexcept;
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  ~OpenFile();
  // A path by which this process opens the same file again (proc(5), /proc/self/fd).
  [[nodiscard]] std::string path() const;
  // Identity and state of the file: device, inode, size and modification time.
  [[nodiscard]] std::string stamp() const;
  [[nodiscard]] std::string first_bytes(std::size_t count) const;
  // The contents; a problem when it is no regular file or exceeds `most` bytes.
  [[nodiscard]] Result<std::string> contents(std::size_t most) const;

 private:
  int descriptor_;
};

// Opens for reading, without waiting for the other end of a pipe. Problems name `path`.
Result<OpenFile> open_file(const std::string& path);

// `name` is relative to `folder`. Follows links that stay below it.
Result<OpenFile> open_inside(const std::string& folder, const std::string& name);

}  // namespace scrapetrace::triage
