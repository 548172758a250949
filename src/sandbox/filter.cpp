#include "sandbox/filter.h"

#include <fcntl.h>
#include <sched.h>
#include <seccomp.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <memory>

namespace scrapetrace::sandbox {

namespace {

constexpr std::array kAllowed{SCMP_SYS(read),
                              SCMP_SYS(pread64),
                              SCMP_SYS(readv),
                              SCMP_SYS(write),
                              SCMP_SYS(pwrite64),
                              SCMP_SYS(writev),
                              SCMP_SYS(lseek),
                              SCMP_SYS(close),
                              SCMP_SYS(dup),
                              SCMP_SYS(fcntl),
                              SCMP_SYS(fstat),
                              SCMP_SYS(ftruncate),
                              SCMP_SYS(newfstatat),  // glibc's fstat; it tells sizes and dates, not contents
                              SCMP_SYS(munmap),
                              SCMP_SYS(mremap),
                              SCMP_SYS(madvise),
                              SCMP_SYS(brk),
                              SCMP_SYS(futex),
                              SCMP_SYS(membarrier),
                              SCMP_SYS(set_robust_list),
                              SCMP_SYS(rseq),
                              SCMP_SYS(rt_sigaction),
                              SCMP_SYS(rt_sigprocmask),
                              SCMP_SYS(rt_sigreturn),
                              SCMP_SYS(sigaltstack),
                              SCMP_SYS(restart_syscall),
                              SCMP_SYS(sched_yield),
                              SCMP_SYS(sched_getaffinity),
                              SCMP_SYS(sched_getattr),
                              SCMP_SYS(sched_setattr),
                              SCMP_SYS(sched_getparam),
                              SCMP_SYS(sched_getscheduler),
                              SCMP_SYS(clock_gettime),
                              SCMP_SYS(clock_getres),
                              SCMP_SYS(clock_nanosleep),
                              SCMP_SYS(nanosleep),
                              SCMP_SYS(gettimeofday),
                              SCMP_SYS(time),
                              SCMP_SYS(getpid),
                              SCMP_SYS(gettid),
                              SCMP_SYS(getrandom),
                              SCMP_SYS(getrusage),
                              SCMP_SYS(sysinfo),
                              SCMP_SYS(uname),
                              SCMP_SYS(poll),
                              SCMP_SYS(ppoll),
                              SCMP_SYS(eventfd2),
                              SCMP_SYS(exit),
                              SCMP_SYS(exit_group)};

// No decoder asks for these: whoever does has taken one over.
constexpr std::array kFatal{SCMP_SYS(socket),
                            SCMP_SYS(socketpair),
                            SCMP_SYS(connect),
                            SCMP_SYS(bind),
                            SCMP_SYS(listen),
                            SCMP_SYS(accept),
                            SCMP_SYS(accept4),
                            SCMP_SYS(sendto),
                            SCMP_SYS(sendmsg),
                            SCMP_SYS(recvmsg),
                            SCMP_SYS(execve),
                            SCMP_SYS(execveat),
                            SCMP_SYS(fork),
                            SCMP_SYS(vfork),
                            SCMP_SYS(ptrace),
                            SCMP_SYS(process_vm_readv),
                            SCMP_SYS(process_vm_writev),
                            SCMP_SYS(kill),
                            SCMP_SYS(mount),
                            SCMP_SYS(umount2),
                            SCMP_SYS(chroot),
                            SCMP_SYS(pivot_root),
                            SCMP_SYS(setns),
                            SCMP_SYS(unshare),
                            SCMP_SYS(bpf),
                            SCMP_SYS(perf_event_open),
                            SCMP_SYS(userfaultfd),
                            SCMP_SYS(io_uring_setup),
                            SCMP_SYS(open_by_handle_at),
                            SCMP_SYS(init_module),
                            SCMP_SYS(finit_module),
                            SCMP_SYS(keyctl)};

using Filter = std::unique_ptr<void, decltype(&seccomp_release)>;

bool set_plain_rules(scmp_filter_ctx filter) {
  for (const int call : kAllowed) {
    if (seccomp_rule_add(filter, SCMP_ACT_ALLOW, call, 0) != 0) return false;
  }
  for (const int call : kFatal) {
    if (seccomp_rule_add(filter, SCMP_ACT_KILL_PROCESS, call, 0) != 0) return false;
  }
  // glibc then makes threads by clone, whose flags a filter can see.
  return seccomp_rule_add(filter, SCMP_ACT_ERRNO(ENOSYS), SCMP_SYS(clone3), 0) == 0;
}

// Allowed for some of their arguments only.
bool set_rules_on_arguments(scmp_filter_ctx filter) {
  const auto allow = [&](int call, scmp_arg_cmp condition) {
    return seccomp_rule_add_array(filter, SCMP_ACT_ALLOW, call, 1, &condition) == 0;
  };
  const auto masked = [](unsigned argument, scmp_datum_t mask, scmp_datum_t value) {
    return scmp_arg_cmp{argument, SCMP_CMP_MASKED_EQ, mask, value};
  };
  const auto equal = [](unsigned argument, scmp_datum_t value) {
    return scmp_arg_cmp{argument, SCMP_CMP_EQ, value, 0};
  };
  const auto own = static_cast<scmp_datum_t>(getpid());
  return allow(SCMP_SYS(clone), masked(0, CLONE_THREAD, CLONE_THREAD)) &&
         allow(SCMP_SYS(mmap), masked(2, PROT_EXEC, 0)) &&
         allow(SCMP_SYS(mprotect), masked(2, PROT_EXEC, 0)) &&
         allow(SCMP_SYS(prctl), equal(0, PR_SET_NAME)) &&
         allow(SCMP_SYS(prlimit64), equal(2, 0)) &&  // asking, not setting
         allow(SCMP_SYS(tgkill), equal(0, own));     // abort()
}

}  // namespace

std::string close_in() {
  const Filter filter(seccomp_init(SCMP_ACT_ERRNO(EPERM)), seccomp_release);
  if (!filter) return "libseccomp has no memory";
  if (!set_plain_rules(filter.get()) || !set_rules_on_arguments(filter.get())) return "a rule is not known";
  seccomp_attr_set(filter.get(), SCMP_FLTATR_CTL_TSYNC, 1);
  const int error = seccomp_load(filter.get());
  return error == 0 ? std::string() : std::strerror(-error);
}

}  // namespace scrapetrace::sandbox
