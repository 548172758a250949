#pragma once
// One run at a time in a folder.

#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::triage {

// Held until this goes or the process ends, however it ends; leaves nothing behind. Where the file system has
// no such locks, nothing is held: the worklist's own lock is then the first.
class FolderLock {
 public:
  static Result<FolderLock> take(const std::string& folder);
  FolderLock(FolderLock&& other) noexcept : descriptor_(other.descriptor_) { other.descriptor_ = -1; }
  FolderLock& operator=(FolderLock&&) = delete;
  FolderLock(const FolderLock&) = delete;
  FolderLock& operator=(const FolderLock&) = delete;
  ~FolderLock();

 private:
  explicit FolderLock(int descriptor) : descriptor_(descriptor) {}
  int descriptor_;
};

}  // namespace scrapetrace::triage
