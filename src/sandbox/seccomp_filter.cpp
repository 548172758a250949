#include "sandbox/seccomp_filter.h"

#include <fcntl.h>
#include <sched.h>
#include <seccomp.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <memory>

#include "sandbox/fstat_trap.h"

namespace scrapetrace::sandbox {

namespace {

constexpr std::array kAllowed{SCMP_SYS(read),
                              SCMP_SYS(pread64),
                              SCMP_SYS(readv),
                              SCMP_SYS(write),
                              SCMP_SYS(writev),
                              SCMP_SYS(lseek),
                              SCMP_SYS(close),
                              SCMP_SYS(dup),
                              SCMP_SYS(fstat),
                              SCMP_SYS(munmap),
                              SCMP_SYS(mremap),
                              SCMP_SYS(madvise),
                              SCMP_SYS(brk),
                              SCMP_SYS(futex),
                              SCMP_SYS(set_robust_list),
                              SCMP_SYS(rseq),
                              SCMP_SYS(rt_sigaction),
                              SCMP_SYS(rt_sigprocmask),
                              SCMP_SYS(rt_sigreturn),
                              SCMP_SYS(sigaltstack),
                              SCMP_SYS(restart_syscall),
                              SCMP_SYS(sched_yield),
                              SCMP_SYS(sched_getaffinity),
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

// No decoder needs these calls: a process that makes one has been taken over.
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
  // glibc then creates threads by clone, whose flags the filter can inspect.
  return seccomp_rule_add(filter, SCMP_ACT_ERRNO(ENOSYS), SCMP_SYS(clone3), 0) == 0;
}

scmp_arg_cmp equal(unsigned argument, scmp_datum_t value) {
  return {argument, SCMP_CMP_EQ, value, 0};
}

scmp_arg_cmp without(unsigned argument, scmp_datum_t bits) {
  return {argument, SCMP_CMP_MASKED_EQ, bits, 0};
}

// Calls allowed for some arguments only.
bool set_rules_on_arguments(scmp_filter_ctx filter) {
  // The flags of pthread_create() in glibc and musl: a thread of this process, in no new namespace.
  constexpr scmp_datum_t kThread = CLONE_VM | CLONE_FS | CLONE_FILES | CLONE_SIGHAND | CLONE_THREAD |
                                   CLONE_SYSVSEM | CLONE_SETTLS | CLONE_PARENT_SETTID | CLONE_CHILD_CLEARTID;
  const auto allow = [&](int call, scmp_arg_cmp condition) {
    return seccomp_rule_add_array(filter, SCMP_ACT_ALLOW, call, 1, &condition) == 0;
  };
  // Other fcntl commands affect processes that share the file: F_SETOWN and O_ASYNC send signals, leases
  // block writers.
  for (const int harmless : {F_GETFL, F_GETFD, F_DUPFD, F_DUPFD_CLOEXEC}) {
    if (!allow(SCMP_SYS(fcntl), equal(1, static_cast<scmp_datum_t>(harmless)))) return false;
  }
  const auto own = static_cast<scmp_datum_t>(getpid());
  return allow(SCMP_SYS(clone), {0, SCMP_CMP_MASKED_EQ, ~scmp_datum_t{CLONE_DETACHED}, kThread}) &&
         allow(SCMP_SYS(mmap), without(2, PROT_EXEC)) && allow(SCMP_SYS(mprotect), without(2, PROT_EXEC)) &&
         allow(SCMP_SYS(prctl), equal(0, PR_SET_NAME)) && allow(SCMP_SYS(tgkill), equal(0, own));  // abort()
}

// On this process only, and reading limits, not setting them.
bool set_rules_on_processes(scmp_filter_ctx filter) {
  const std::array limits{equal(0, 0), equal(2, 0)};
  if (seccomp_rule_add_array(filter, SCMP_ACT_ALLOW, SCMP_SYS(prlimit64), limits.size(), limits.data()) != 0)
    return false;
  for (const int call : {SCMP_SYS(sched_getattr), SCMP_SYS(sched_getparam), SCMP_SYS(sched_getscheduler)}) {
    const auto own = equal(0, 0);
    if (seccomp_rule_add_array(filter, SCMP_ACT_ALLOW, call, 1, &own) != 0) return false;
  }
  // GLib makes each pool thread set its scheduling attributes to the values it has: pretend success.
  return seccomp_rule_add(filter, SCMP_ACT_ERRNO(0), SCMP_SYS(sched_setattr), 0) == 0;
}

// newfstatat with an empty path arrives by another call (fstat_trap.h).
bool set_rule_on_fstat(scmp_filter_ctx filter) {
  if (install_fstat_trap()) return seccomp_rule_add(filter, SCMP_ACT_TRAP, SCMP_SYS(newfstatat), 0) == 0;
  const auto open_file = equal(3, AT_EMPTY_PATH);
  return seccomp_rule_add_array(filter, SCMP_ACT_ALLOW, SCMP_SYS(newfstatat), 1, &open_file) == 0;
}

}  // namespace

int install_seccomp_filter() {
  const Filter filter(seccomp_init(SCMP_ACT_ERRNO(EPERM)), seccomp_release);
  if (!filter) return ENOMEM;
  const bool complete = set_plain_rules(filter.get()) && set_rules_on_arguments(filter.get()) &&
                        set_rules_on_processes(filter.get()) && set_rule_on_fstat(filter.get()) &&
                        seccomp_attr_set(filter.get(), SCMP_FLTATR_CTL_TSYNC, 1) == 0 &&
                        seccomp_attr_set(filter.get(), SCMP_FLTATR_CTL_NNP, 1) == 0 &&
                        seccomp_attr_set(filter.get(), SCMP_FLTATR_ACT_BADARCH, SCMP_ACT_KILL_PROCESS) == 0;
  return complete ? -seccomp_load(filter.get()) : EINVAL;
}

}  // namespace scrapetrace::sandbox
