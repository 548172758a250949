#include "base/part_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <filesystem>

namespace scrapetrace {

namespace {

// What a signal handler may touch: memory that was always there.
struct Slot {
  std::atomic<bool> taken{false};
  std::atomic<bool> live{false};  // `path` is whole
  std::array<char, 4096> path{};
};
std::array<Slot, 64> slots;

void remove_parts_and_end(int signal) {
  for (const Slot& slot : slots) {
    if (slot.live) unlink(slot.path.data());
  }
  std::signal(signal, SIG_DFL);
  std::raise(signal);
}

// -1 when all are taken: then a signal leaves that file behind.
int register_part(const std::string& path) {
  if (path.size() >= slots[0].path.size()) return -1;
  for (std::size_t k = 0; k < slots.size(); ++k) {
    if (slots[k].taken.exchange(true)) continue;
    std::memcpy(slots[k].path.data(), path.c_str(), path.size() + 1);
    slots[k].live = true;
    return static_cast<int>(k);
  }
  return -1;
}

void forget_part(int number) {
  if (number < 0) return;
  Slot& slot = slots[static_cast<std::size_t>(number)];
  slot.live = false;
  slot.taken = false;
}

std::string name_beside(const std::filesystem::path& target) {
  static std::atomic<unsigned> parts{0};
  const std::string own = std::to_string(getpid()) + "-" + std::to_string(parts++);
  return (target.parent_path() / ("." + target.filename().string() + "." + own + ".part")).string();
}

// Some file systems do not know the flag; there the time between looking and renaming is the user's risk.
int rename_beside(const std::string& from, const std::string& to) {
  const int done = renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE);
  if (done == 0 || (errno != EINVAL && errno != ENOSYS)) return done;
  if (access(to.c_str(), F_OK) == 0) {
    errno = EEXIST;
    return -1;
  }
  return std::rename(from.c_str(), to.c_str());
}

}  // namespace

PartFile::PartFile(const std::string& target)
    : target_(target), path_(name_beside(target)), slot_(register_part(path_)) {}

PartFile::~PartFile() {
  if (!path_.empty()) unlink(path_.c_str());
  forget_part(slot_);
}

std::string PartFile::put_in_place(Existing existing) {
  const int done = existing == Existing::replace ? std::rename(path_.c_str(), target_.c_str())
                                                 : rename_beside(path_, target_);
  if (done != 0) return std::strerror(errno);
  path_.clear();
  return {};
}

void remove_part_files_on_signals() {
  struct sigaction action {};
  action.sa_handler = remove_parts_and_end;
  sigemptyset(&action.sa_mask);
  for (const int signal : {SIGTERM, SIGINT, SIGHUP}) {
    struct sigaction before {};
    // Whoever started the program to run on after a hang-up (nohup) keeps that.
    if (sigaction(signal, nullptr, &before) == 0 && before.sa_handler != SIG_IGN)
      sigaction(signal, &action, nullptr);
  }
}

}  // namespace scrapetrace
