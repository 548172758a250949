#include "sandbox/confinement.h"

#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>

#include "sandbox/close_descriptors.h"
#include "sandbox/landlock.h"
#include "sandbox/seccomp_filter.h"

namespace scrapetrace::sandbox {

namespace {

constexpr int kDescriptors = 255;  // exit status of the trial; other values are the seccomp errno

int attempt() {
  if (close_other_descriptors(STDERR_FILENO + 1) != Gap::none) return kDescriptors;
  return confine().error;
}

}  // namespace

Gap close_other_descriptors(int first) {
  return close_descriptors_from(first) ? Gap::none : Gap::descriptors;
}

Confinement confine() {
  restrict_by_landlock();  // best effort: the seccomp filter alone suffices
  const int error = install_seccomp_filter();
  return {error == 0 ? Gap::none : Gap::filter, error};
}

Confinement try_confinement() {
  const pid_t pid = fork();
  if (pid == 0) _exit(attempt());
  int status = 0;
  pid_t ended = -1;
  do {
    ended = pid < 0 ? pid : waitpid(pid, &status, 0);
  } while (ended < 0 && pid >= 0 && errno == EINTR);
  if (ended < 0) return {Gap::unknown, 0};
  if (!WIFEXITED(status)) return {Gap::filter, ENOSYS};  // the filter killed the process that set it
  const int told = WEXITSTATUS(status);
  if (told == kDescriptors) return {Gap::descriptors, 0};
  return {told == 0 ? Gap::none : Gap::filter, told};
}

}  // namespace scrapetrace::sandbox
