#pragma once
// Whether this system can confine a process that decodes scans.

namespace scrapetrace::sandbox {

enum class Gap : int {
  none,
  unknown,      // no process could be made for the trial
  descriptors,  // open descriptors cannot all be closed
  filter,       // the seccomp filter cannot be set
};

struct Confinement {
  Gap gap = Gap::unknown;
  int error = 0;  // errno when gap is `filter`
};

// Tries it in a child that has no scan, so that nothing can have taken it over and its answer can be trusted.
// Waits for the child.
Confinement try_confinement();

// The steps. First close all descriptors from `first` on,
Gap close_other_descriptors(int first);
// then restrict paths and system calls, for all threads and irrevocably.
Confinement confine();

}  // namespace scrapetrace::sandbox
