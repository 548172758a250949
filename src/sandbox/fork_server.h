#pragma once
// The fork server: started early, while the program has one thread and no image libraries loaded. It forks a
// worker per scan and never reads a scan itself.

#include <cstdint>

#include "sandbox/confinement.h"
#include "sandbox/request.h"

namespace scrapetrace::sandbox {

// A worker's exit status, as from waitpid().
struct WorkerExit {
  int status = 0;
  bool late = false;         // killed at its deadline
  bool not_started = false;  // no process could be forked or confined
  Confinement confinement{Gap::none};
};

// Serves requests until the other end of `control` closes, then kills all workers and exits. A request is the
// bytes of a Request and the scan's name, with three files: the scan, a pipe for the reply, a socket for the
// WorkerExit.
[[noreturn]] void run_fork_server(int control, Work work);

}  // namespace scrapetrace::sandbox
