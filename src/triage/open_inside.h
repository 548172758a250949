#pragma once
// A scan of a case, opened so that what is hashed and what is read are one file, below the folder it was
// listed in, whatever is put in the place of its name or of a folder above it meanwhile.

#include <cstddef>
#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::triage {

// An open file; closed with this.
class OpenFile {
 public:
  explicit OpenFile(int descriptor) : descriptor_(descriptor) {}
  OpenFile(OpenFile&& other) noexcept : descriptor_(other.descriptor_) { other.descriptor_ = -1; }
  OpenFile& operator=(OpenFile&& other) noexcept;
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  ~OpenFile();
  // A name by which this process opens the same file again (proc(5), /proc/self/fd).
  [[nodiscard]] std::string path() const;
  // Which file it is, and which state of it: device, inode, size and time of the last change.
  [[nodiscard]] std::string stamp() const;
  [[nodiscard]] std::string first_bytes(std::size_t count) const;
  // All of it; a problem when it is no plain file or holds more than `most` bytes.
  [[nodiscard]] Result<std::string> contents(std::size_t most) const;

 private:
  int descriptor_;
};

// For reading, without waiting for the other end of a pipe. Problems name `path`.
Result<OpenFile> open_file(const std::string& path);

// `name` is relative to `folder`. Links are followed as long as they stay below it.
Result<OpenFile> open_inside(const std::string& folder, const std::string& name);

}  // namespace scrapetrace::triage
