// Systems that lack something: what is missing is told, and nothing is read without it.

#include "sandbox/confinement.h"

#include <fcntl.h>
#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstddef>
#include <functional>

#include "sandbox/close_descriptors.h"
#include "sandbox/landlock.h"
#include "sandbox_test.h"

namespace scrapetrace::sandbox {
namespace {

// From here on this process does not have that call.
void lose_call(unsigned number, int error) {
  std::array<sock_filter, 4> rules{{
      BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr)),
      BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, number, 0, 1),
      BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ERRNO | static_cast<unsigned>(error)),
      BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW),
  }};
  const sock_fprog program{rules.size(), rules.data()};
  if (prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0 ||
      prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &program) != 0)
    _exit(99);
}

// What `deed` gives in a process of its own.
int elsewhere(const std::function<int()>& deed) {
  const pid_t pid = fork();
  if (pid == 0) _exit(deed());
  int status = 0;
  EXPECT_EQ(waitpid(pid, &status, 0), pid);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

int open_beyond(int first) {
  int count = 0;
  for (int number = first; number < 300; ++number) count += fcntl(number, F_GETFD) >= 0 ? 1 : 0;
  return count;
}

int opened_and_closed() {
  for (int k = 0; k < 20; ++k) fcntl(STDERR_FILENO, F_DUPFD, 7 * k + 3);
  if (open_beyond(3) < 20) return 98;
  return close_descriptors_from(3) ? open_beyond(3) : 97;
}

TEST(CloseFrom, ClosesAll) {
  EXPECT_EQ(elsewhere(opened_and_closed), 0);
}

TEST(CloseFrom, ClosesAllOnKernelsWithoutCloseRange) {
  for (const int error : {ENOSYS, EPERM}) {
    EXPECT_EQ(elsewhere([&] {
                lose_call(SYS_close_range, error);
                return opened_and_closed();
              }),
              0);
  }
}

TEST(CloseFrom, SaysSoWhereItCannot) {
  EXPECT_EQ(elsewhere([] {
              lose_call(SYS_close_range, ENOSYS);
              lose_call(SYS_openat, EACCES);
              return opened_and_closed();
            }),
            97);
}

TEST(Confinement, IsToBeHadHere) {
  const auto got = try_confinement();
  EXPECT_EQ(got.gap, Gap::none) << got.error;
}

TEST(Confinement, NamesWhatIsMissing) {
  if (kSanitized) GTEST_SKIP() << "sanitizers need the calls that are lost here";
  EXPECT_EQ(elsewhere([] {
              lose_call(SYS_seccomp, EACCES);
              const auto got = try_confinement();
              return got.gap == Gap::filter ? 0 : 1;
            }),
            0);
  EXPECT_EQ(elsewhere([] {
              lose_call(SYS_close_range, ENOSYS);
              lose_call(SYS_openat, EACCES);
              return try_confinement().gap == Gap::descriptors ? 0 : 1;
            }),
            0);
}

class ConfinementTest : public SandboxTest {};

// The advice comes before anything of the scan was looked at.
TEST_F(ConfinementTest, IsTriedBeforeAnyScan) {
  if (kSanitized) GTEST_SKIP() << "sanitizers need the calls that are lost here";
  const auto scan = put("scan.tif", "II*");
  EXPECT_EQ(elsewhere([&] {
              lose_call(SYS_seccomp, EACCES);
              const auto reader = PageReader::start({}, [](const Request&, const scan::ScanFile&, int) {
                std::abort();  // no worker may be begun
              });
              const auto what = problem_of(reader->pages_of(scan));
              return what.find("does not let the system-call filter be set") != std::string::npos &&
                             what.find("--no-sandbox") != std::string::npos
                         ? 0
                         : 1;
            }),
            0);
}

TEST(Landlock, ForbidsPathsWhereTheKernelHasIt) {
  const int told = elsewhere([] {
    if (restrict_by_landlock() == 0) return 96;
    if (open("/etc/passwd", O_RDONLY | O_CLOEXEC) >= 0 || errno != EACCES) return 1;
    if (open("/dev/null", O_WRONLY | O_CLOEXEC) >= 0) return 2;
    return prctl(PR_GET_NO_NEW_PRIVS, 0, 0, 0, 0) == 1 ? 0 : 3;
  });
  if (told == 96) GTEST_SKIP() << "this kernel has no Landlock";
  EXPECT_EQ(told, 0);
}

}  // namespace
}  // namespace scrapetrace::sandbox
