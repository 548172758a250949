// A worker that tries the system calls which it is left, with arguments of every class: none of them reaches
// beyond its own memory, its scan and its pipe.

#include <fcntl.h>
#include <linux/sched.h>
#include <sched.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/syscall.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <functional>
#include <vector>

#include "sandbox/reply.h"
#include "sandbox_test.h"

namespace scrapetrace::sandbox {
namespace {

constexpr int kScan = 3;
constexpr int kResult = 4;

using Breaches = std::vector<std::string>;

// Of calls that ended otherwise than by "not permitted", what they were.
class Attempts {
 public:
  template <class... Arguments>
  void refused(const std::string& what, long call, Arguments... arguments) {
    errno = 0;
    const long answer = syscall(call, arguments...);
    if (answer != -1 || errno != EPERM) found(what, answer);
  }
  template <class... Arguments>
  void granted(const std::string& what, long call, Arguments... arguments) {
    errno = 0;
    const long answer = syscall(call, arguments...);
    if (answer < 0) found(what, answer);
  }
  void found(const std::string& what, long answer) {
    if (breaches_.size() < 20)
      breaches_.push_back(what + " gave " + std::to_string(answer) + ", " + std::strerror(errno));
  }
  [[nodiscard]] const Breaches& breaches() const { return breaches_; }

 private:
  Breaches breaches_;
};

// A file's owner and its signal, leases, locks, sizes, seals: all but what fdopen() and dup() ask for.
void settings_of_files(Attempts& attempts) {
  constexpr std::array kAsked{F_GETFL, F_GETFD, F_DUPFD, F_DUPFD_CLOEXEC};
  for (int command = 0; command < 2048; ++command) {
    if (std::find(kAsked.begin(), kAsked.end(), command) != kAsked.end()) continue;
    for (const int file : {0, 1, 2, kScan, kResult}) {
      for (const long argument : {0L, 1L, static_cast<long>(getppid()), static_cast<long>(O_ASYNC)})
        attempts.refused("fcntl " + std::to_string(command), SYS_fcntl, file, command, argument);
    }
  }
  for (const long high : {1L << 32, 1L << 63}) {
    for (const int command : kAsked) attempts.refused("fcntl, wide", SYS_fcntl, kScan, high | command, 0L);
  }
  attempts.granted("F_GETFL", SYS_fcntl, kScan, F_GETFL, 0L);
}

// Paths: of none is told whether it is there.
void names_of_files(Attempts& attempts) {
  struct stat about {};
  for (const char* path : {"/etc/passwd", "/nowhere", "x", "."}) {
    for (const int flags : {0, AT_EMPTY_PATH, AT_SYMLINK_NOFOLLOW, AT_EMPTY_PATH | AT_SYMLINK_NOFOLLOW}) {
      for (const int folder : {AT_FDCWD, 0, kScan})
        attempts.refused("newfstatat", SYS_newfstatat, folder, path, &about, flags);
    }
  }
  if (fstat(kScan, &about) != 0 || about.st_size <= 0) attempts.found("fstat of the scan", -1);
}

// What is open can be read, and the pipe written to; nothing can be changed.
void contents(Attempts& attempts) {
  const char byte = 'x';
  for (const int file : {kScan, kResult}) {
    attempts.refused("ftruncate", SYS_ftruncate, file, 0L);
    attempts.refused("pwrite64", SYS_pwrite64, file, &byte, 1L, 0L);
    attempts.refused("fallocate", SYS_fallocate, file, 0, 0L, 1L);
    attempts.refused("ioctl", SYS_ioctl, file, 0x5421L, &byte);
    attempts.refused("fchmod", SYS_fchmod, file, 0600);
  }
  if (write(kScan, &byte, 1) != -1) attempts.found("write to the scan", 1);
  if (mmap(nullptr, 4096, PROT_READ | PROT_WRITE, MAP_SHARED, kScan, 0) != MAP_FAILED)
    attempts.found("the scan as shared memory", 0);
}

void memory(Attempts& attempts) {
  for (const int with : {0, PROT_READ, PROT_READ | PROT_WRITE}) {
    attempts.refused("mmap to run", SYS_mmap, 0L, 4096L, with | PROT_EXEC, MAP_PRIVATE | MAP_ANONYMOUS, -1,
                     0L);
    attempts.refused("mmap a file to run", SYS_mmap, 0L, 4096L, with | PROT_EXEC, MAP_PRIVATE, kScan, 0L);
    void* const page = mmap(nullptr, 4096, PROT_READ, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    attempts.refused("mprotect to run", SYS_mprotect, page, 4096L, with | PROT_EXEC);
  }
}

// Other processes, this one's parent and the program among them, and threads in namespaces of their own.
void processes(Attempts& attempts) {
  const auto parent = static_cast<long>(getppid());
  struct sched_attr {
    std::array<unsigned, 16> words{};
  } scheduling;
  std::array<rlimit, 2> limits{};
  for (const long other : {parent, 1L}) {
    for (const int signal : {0, SIGTERM, SIGKILL, SIGIO})
      attempts.refused("tgkill", SYS_tgkill, other, other, signal);
    attempts.refused("prlimit64 of another", SYS_prlimit64, other, RLIMIT_NOFILE, nullptr, limits.data());
    attempts.refused("sched_getattr", SYS_sched_getattr, other, &scheduling, 64L, 0L);
    attempts.refused("sched_getparam", SYS_sched_getparam, other, &scheduling);
    attempts.refused("sched_getscheduler", SYS_sched_getscheduler, other);
  }
  attempts.refused("prlimit64, setting", SYS_prlimit64, 0, RLIMIT_NOFILE, limits.data(), nullptr);
  const long thread = CLONE_VM | CLONE_FS | CLONE_FILES | CLONE_SIGHAND | CLONE_THREAD | CLONE_SYSVSEM |
                      CLONE_SETTLS | CLONE_PARENT_SETTID | CLONE_CHILD_CLEARTID;
  for (const long more : {CLONE_NEWNS, CLONE_NEWUTS, CLONE_NEWIPC, CLONE_NEWUSER, CLONE_NEWPID, CLONE_NEWNET,
                          CLONE_NEWCGROUP, CLONE_PTRACE, CLONE_UNTRACED, CLONE_PARENT, CLONE_VFORK}) {
    attempts.refused("clone", SYS_clone, thread | more, 0L, 0L, 0L, 0L);
    attempts.refused("clone", SYS_clone, more, 0L, 0L, 0L, 0L);
  }
  attempts.refused("clone", SYS_clone, static_cast<long>(SIGCHLD), 0L, 0L, 0L, 0L);
  for (int option = 1; option < 100; ++option) {
    if (option != PR_SET_NAME) attempts.refused("prctl", SYS_prctl, option, 0L, 0L, 0L, 0L);
  }
}

// By number, the calls that this list leaves out are all refused.
void all_others(Attempts& attempts) {
  const std::vector<long> left{SYS_read,
                               SYS_pread64,
                               SYS_readv,
                               SYS_write,
                               SYS_writev,
                               SYS_lseek,
                               SYS_close,
                               SYS_dup,
                               SYS_fcntl,
                               SYS_fstat,
                               SYS_newfstatat,
                               SYS_mmap,
                               SYS_munmap,
                               SYS_mremap,
                               SYS_mprotect,
                               SYS_madvise,
                               SYS_brk,
                               SYS_futex,
                               SYS_set_robust_list,
                               SYS_rseq,
                               SYS_rt_sigaction,
                               SYS_rt_sigprocmask,
                               SYS_rt_sigreturn,
                               SYS_sigaltstack,
                               SYS_restart_syscall,
                               SYS_sched_yield,
                               SYS_sched_getaffinity,
                               SYS_sched_getattr,
                               SYS_sched_setattr,
                               SYS_sched_getparam,
                               SYS_sched_getscheduler,
                               SYS_clock_gettime,
                               SYS_clock_getres,
                               SYS_clock_nanosleep,
                               SYS_nanosleep,
                               SYS_gettimeofday,
                               SYS_time,
                               SYS_getpid,
                               SYS_gettid,
                               SYS_getrandom,
                               SYS_getrusage,
                               SYS_sysinfo,
                               SYS_uname,
                               SYS_poll,
                               SYS_ppoll,
                               SYS_eventfd2,
                               SYS_exit,
                               SYS_exit_group,
                               SYS_clone,
                               SYS_clone3,
                               SYS_prctl,
                               SYS_prlimit64,
                               SYS_tgkill};
  const std::vector<long> fatal{SYS_socket,
                                SYS_socketpair,
                                SYS_connect,
                                SYS_bind,
                                SYS_listen,
                                SYS_accept,
                                SYS_accept4,
                                SYS_sendto,
                                SYS_sendmsg,
                                SYS_recvmsg,
                                SYS_execve,
                                SYS_execveat,
                                SYS_fork,
                                SYS_vfork,
                                SYS_ptrace,
                                SYS_process_vm_readv,
                                SYS_process_vm_writev,
                                SYS_kill,
                                SYS_mount,
                                SYS_umount2,
                                SYS_chroot,
                                SYS_pivot_root,
                                SYS_setns,
                                SYS_unshare,
                                SYS_bpf,
                                SYS_perf_event_open,
                                SYS_userfaultfd,
                                SYS_io_uring_setup,
                                SYS_open_by_handle_at,
                                SYS_init_module,
                                SYS_finit_module,
                                SYS_keyctl};
  // The kernel takes these two itself, past every filter, and ends whoever makes them unasked.
  const std::vector<long> probes{335, 336};  // uretprobe, uprobe
  for (long call = 0; call < 480; ++call) {
    const auto in = [&](const std::vector<long>& calls) {
      return std::find(calls.begin(), calls.end(), call) != calls.end();
    };
    if (!in(left) && !in(fatal) && !in(probes))
      attempts.refused("call " + std::to_string(call), call, 0L, 0L, 0L, 0L, 0L, 0L);
  }
}

void try_calls(const Request&, const scan::ScanFile&, int result) {
  Attempts attempts;
  for (auto* const kind : {settings_of_files, names_of_files, contents, memory, processes, all_others})
    kind(attempts);
  if (attempts.breaches().empty()) {
    write_reply(result, Scans{0});
    return;
  }
  Problems problems;
  for (const auto& breach : attempts.breaches()) problems.push_back({"", 0, 0, breach});
  write_reply(result, problems);
}

class AllowedCalls : public SandboxTest {};

TEST_F(AllowedCalls, ReachNothingBeyondTheWorker) {
#ifndef __x86_64__
  GTEST_SKIP() << "the numbers of the calls are those of another processor";
#endif
  if (kSanitized) GTEST_SKIP() << "sanitizers ask for more";
  const auto reader = PageReader::start({}, try_calls);
  ASSERT_TRUE(reader.ok());
  const auto scans = reader->pages_of(put("scan.tif", "II*"));
  std::string all;
  if (!scans) {
    for (const auto& problem : scans.problems()) all += to_string(problem) + '\n';
  }
  EXPECT_TRUE(scans.ok()) << all;
}

}  // namespace
}  // namespace scrapetrace::sandbox
