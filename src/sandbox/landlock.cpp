#include "sandbox/landlock.h"

#include <sys/prctl.h>
#include <unistd.h>

#include <cstddef>
#include <cstdint>

#include "sandbox/channel.h"

namespace scrapetrace::sandbox {

namespace {

// From the kernel's uapi/linux/landlock.h, since the installed header may be older than the kernel. The
// numbers are the same on all architectures.
constexpr long kCreateRuleset = 444;
constexpr long kRestrictSelf = 446;
constexpr std::uint32_t kAskVersion = 1;

struct Ruleset {
  std::uint64_t files = 0;
  std::uint64_t ports = 0;   // since ABI 4
  std::uint64_t scopes = 0;  // since ABI 6: abstract sockets, signals
};

// The lowest `count` access rights as a mask.
constexpr std::uint64_t rights(int count) {
  return (std::uint64_t{1} << static_cast<unsigned>(count)) - 1;
}

int rights_on_files(int version) {
  if (version >= 5) return 16;  // with ioctl on devices
  if (version >= 3) return 15;  // with truncate
  return version == 2 ? 14 : 13;
}

}  // namespace

int restrict_by_landlock() {
  const auto version = static_cast<int>(syscall(kCreateRuleset, nullptr, std::size_t{0}, kAskVersion));
  if (version < 1) return 0;
  Ruleset all;
  all.files = rights(rights_on_files(version));
  if (version >= 4) all.ports = rights(2);
  if (version >= 6) all.scopes = rights(2);
  const std::size_t known = version >= 6 ? sizeof(Ruleset) : version >= 4 ? 16 : 8;
  // A ruleset without rules forbids everything that it handles.
  const Descriptor rules(static_cast<int>(syscall(kCreateRuleset, &all, known, 0U)));
  if (!rules || prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0) return 0;
  return syscall(kRestrictSelf, rules.get(), 0U) == 0 ? version : 0;
}

}  // namespace scrapetrace::sandbox
