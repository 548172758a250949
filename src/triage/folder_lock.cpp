#include "triage/folder_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace scrapetrace::triage {

Result<FolderLock> FolderLock::take(const std::string& folder) {
  const int descriptor = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0)
    return Problem{folder, 0, 0,
                   std::string("cannot be worked in: ") + std::strerror(errno) + "; check its rights"};
  FolderLock lock(descriptor);
  if (flock(descriptor, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK)
    return Problem{folder, 0, 0, "is being worked in by another triage; wait for it, or name another folder"};
  return lock;
}

FolderLock::~FolderLock() {
  if (descriptor_ >= 0) close(descriptor_);
}

}  // namespace scrapetrace::triage
