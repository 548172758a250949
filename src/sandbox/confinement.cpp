#include "sandbox/confinement.h"

#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>

#include "sandbox/close_others.h"
#include "sandbox/filter.h"
#include "sandbox/landlock.h"

namespace scrapetrace::sandbox {

namespace {

constexpr int kDescriptors = 255;  // exit status of the attempt; else errno of the filter

int attempt() {
  if (close_others(STDERR_FILENO + 1) != Gap::none) return kDescriptors;
  return close_in_for_good().error;
}

}  // namespace

Gap close_others(int first) {
  return close_from(first) ? Gap::none : Gap::descriptors;
}

Confinement close_in_for_good() {
  lock_paths();  // the filter does without it
  const int error = close_in();
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
  if (!WIFEXITED(status)) return {Gap::filter, ENOSYS};  // a filter that ends whoever sets it
  const int told = WEXITSTATUS(status);
  if (told == kDescriptors) return {Gap::descriptors, 0};
  return {told == 0 ? Gap::none : Gap::filter, told};
}

}  // namespace scrapetrace::sandbox
