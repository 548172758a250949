#include "sandbox/close_descriptors.h"

#include <dirent.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <cstdlib>
#include <memory>
#include <optional>
#include <vector>

namespace scrapetrace::sandbox {

namespace {

// Open descriptors; nothing when they cannot be listed. Leaves out the listing's own descriptor.
std::optional<std::vector<int>> open_from(int first) {
  const std::unique_ptr<DIR, int (*)(DIR*)> list(opendir("/proc/self/fd"), closedir);
  if (!list) return std::nullopt;
  std::vector<int> out;
  for (const dirent* entry = readdir(list.get()); entry != nullptr; entry = readdir(list.get())) {
    char* end = nullptr;
    const long number = std::strtol(entry->d_name, &end, 10);
    if (end == entry->d_name || *end != '\0') continue;  // "." and ".."
    if (number >= first && number != dirfd(list.get())) out.push_back(static_cast<int>(number));
  }
  return out;
}

}  // namespace

bool close_descriptors_from(int first) {
  if (syscall(SYS_close_range, static_cast<unsigned>(first), ~0U, 0U) == 0) return true;
  const auto open = open_from(first);
  if (!open) return false;
  for (const int number : *open) close(number);
  const auto left = open_from(first);
  return left && left->empty();
}

}  // namespace scrapetrace::sandbox
