#include "base/atomic_file.h"

#include <fcntl.h>
#include <sys/random.h>
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

// Static memory, the only kind a signal handler may touch.
struct Slot {
  std::atomic<bool> taken{false};
  std::atomic<bool> live{false};  // `path` is complete
  std::array<char, 4096> path{};
};
std::array<Slot, 64> slots;

void remove_files_and_end(int signal) {
  for (const Slot& slot : slots) {
    if (slot.live) unlink(slot.path.data());
  }
  std::signal(signal, SIG_DFL);
  std::raise(signal);
}

// The slot's number, or -1 when all are taken: then a signal leaves the file behind.
int claim_slot(const std::string& path) {
  if (path.size() >= slots[0].path.size()) return -1;
  for (std::size_t k = 0; k < slots.size(); ++k) {
    if (slots[k].taken.exchange(true)) continue;
    std::memcpy(slots[k].path.data(), path.c_str(), path.size() + 1);
    slots[k].live = true;
    return static_cast<int>(k);
  }
  return -1;
}

void release_slot(int number) {
  if (number < 0) return;
  Slot& slot = slots[static_cast<std::size_t>(number)];
  slot.live = false;
  slot.taken = false;
}

constexpr std::size_t kLongestName = 200;  // of the target in it; file systems take 255 bytes

std::string temporary_name(const std::filesystem::path& target) {
  std::array<unsigned char, 8> chance{};
  if (getrandom(chance.data(), chance.size(), 0) != static_cast<ssize_t>(chance.size())) return {};
  std::string own;
  for (const unsigned char byte : chance) {
    own += "0123456789abcdef"[byte >> 4U];
    own += "0123456789abcdef"[byte & 15U];
  }
  const std::string name = target.filename().string().substr(0, kLongestName);
  return (target.parent_path() / ("." + name + "." + own + ".part")).string();
}

// File systems that cannot sync promise nothing, which is no failure of ours.
bool sync_file(int descriptor) {
  return fsync(descriptor) == 0 || errno == EINVAL || errno == ENOTSUP || errno == EROFS;
}

// A new name is durable once its folder is synced.
bool sync_folder(const std::filesystem::path& file) {
  const auto folder = file.has_parent_path() ? file.parent_path() : std::filesystem::path(".");
  const int descriptor = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return errno == EACCES;  // such a folder may be writable and not readable
  const bool done = sync_file(descriptor);
  const int error = errno;
  close(descriptor);
  errno = error;
  return done;
}

// Some file systems lack RENAME_NOREPLACE; there, another program may create the name between check and
// rename.
int rename_if_absent(const std::string& from, const std::string& to) {
  const int done = renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE);
  if (done == 0 || (errno != EINVAL && errno != ENOSYS)) return done;
  if (access(to.c_str(), F_OK) == 0) {
    errno = EEXIST;
    return -1;
  }
  return std::rename(from.c_str(), to.c_str());
}

}  // namespace

std::string write_all(int descriptor, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t done = ::write(descriptor, bytes.data(), bytes.size());
    if (done < 0 && errno == EINTR) continue;
    if (done < 0) return std::strerror(errno);
    bytes.remove_prefix(static_cast<std::size_t>(done));
  }
  return {};
}

AtomicFile::AtomicFile(const std::string& target)
    : target_(target), temporary_(temporary_name(target)), slot_(claim_slot(temporary_)) {
  descriptor_ = open(temporary_.c_str(), O_RDWR | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
  if (descriptor_ < 0) failed_ = std::strerror(errno);
}

AtomicFile::~AtomicFile() {
  if (descriptor_ >= 0) close(descriptor_);
  if (descriptor_ >= 0 && !temporary_.empty()) unlink(temporary_.c_str());
  release_slot(slot_);
}

std::string AtomicFile::path() const {
  return "/proc/self/fd/" + std::to_string(descriptor_);
}

std::string AtomicFile::write(std::string_view bytes) const {
  return failed_.empty() ? write_all(descriptor_, bytes) : failed_;
}

std::string AtomicFile::commit(Existing existing) {
  if (!failed_.empty()) return failed_;
  if (!sync_file(descriptor_)) return std::strerror(errno);
  const int done = existing == Existing::replace ? std::rename(temporary_.c_str(), target_.c_str())
                                                 : rename_if_absent(temporary_, target_);
  if (done != 0) return std::strerror(errno);
  temporary_.clear();
  return sync_folder(target_) ? std::string() : std::strerror(errno);
}

void remove_temporary_files_on_signals() {
  struct sigaction action {};
  action.sa_handler = remove_files_and_end;
  sigemptyset(&action.sa_mask);
  for (const int signal : {SIGTERM, SIGINT, SIGHUP}) {
    struct sigaction before {};
    // nohup ignores hang-ups for a program that is to run on; keep that.
    if (sigaction(signal, nullptr, &before) == 0 && before.sa_handler != SIG_IGN)
      sigaction(signal, &action, nullptr);
  }
}

}  // namespace scrapetrace
