#include "sandbox/fstat_trap.h"

#include <fcntl.h>
#include <sys/syscall.h>
#include <ucontext.h>
#include <unistd.h>

#include <bit>
#include <cerrno>
#include <csignal>

namespace scrapetrace::sandbox {

#if defined(__x86_64__) || defined(__aarch64__)

namespace {

struct Call {
  long descriptor;
  const char* path;
  void* answer;
  long flags;
};

#if defined(__x86_64__)
Call call_in(const ucontext_t& thread) {
  const auto& of = thread.uc_mcontext.gregs;
  return {of[REG_RDI], std::bit_cast<const char*>(of[REG_RSI]), std::bit_cast<void*>(of[REG_RDX]),
          of[REG_R10]};
}
void give(ucontext_t& thread, long result) {
  thread.uc_mcontext.gregs[REG_RAX] = result;
}
#else
Call call_in(const ucontext_t& thread) {
  const auto& of = thread.uc_mcontext.regs;
  return {static_cast<long>(of[0]), std::bit_cast<const char*>(of[1]), std::bit_cast<void*>(of[2]),
          static_cast<long>(of[3])};
}
void give(ucontext_t& thread, long result) {
  thread.uc_mcontext.regs[0] = static_cast<unsigned long long>(result);
}
#endif

long fstat_of(const Call& call) {
  if ((call.flags & AT_EMPTY_PATH) == 0 || call.path == nullptr || *call.path != '\0') return -EPERM;
  return syscall(SYS_fstat, call.descriptor, call.answer) == 0 ? 0 : -errno;
}

void answer(int, siginfo_t* trap, void* context) {
  const int kept = errno;
  auto& thread = *static_cast<ucontext_t*>(context);
  give(thread, trap->si_syscall == SYS_newfstatat ? fstat_of(call_in(thread)) : -EPERM);
  errno = kept;
}

}  // namespace

bool install_fstat_trap() {
  struct sigaction act {};
  act.sa_sigaction = answer;
  act.sa_flags = SA_SIGINFO | SA_RESTART;
  sigfillset(&act.sa_mask);
  return sigaction(SIGSYS, &act, nullptr) == 0;
}

#else

bool install_fstat_trap() {
  return false;
}

#endif

}  // namespace scrapetrace::sandbox
