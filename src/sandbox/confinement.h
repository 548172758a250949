#pragma once
// Whether this system lets a process that reads scans be closed in.

namespace scrapetrace::sandbox {

enum class Gap : int {
  none,
  unknown,      // no process could be made to try it in
  descriptors,  // what is open cannot all be closed
  filter,       // the filter of system calls cannot be set
};

struct Confinement {
  Gap gap = Gap::unknown;
  int error = 0;  // errno of `filter`
};

// Tries it in a process of its own, which has no scan and nothing else that it could be taken over by: what
// it says is the program's word. The caller waits for it.
Confinement try_confinement();

// The steps, from the first descriptor that is not kept: what is open is closed, ...
Gap close_others(int first);
// ... and paths and system calls are locked, for all threads and for good.
Confinement close_in_for_good();

}  // namespace scrapetrace::sandbox
