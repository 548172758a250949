#pragma once
// Lets one run at a time work in a folder.

#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::triage {

// Holds a file lock until destroyed or until the process ends; leaves no file behind. Without file locks in
// the file system it does nothing: the worklist's database lock still holds.
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
