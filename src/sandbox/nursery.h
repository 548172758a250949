#pragma once
// The process that starts workers: made early, while the program is one thread without libraries of images.
// It never looks into a scan itself.

#include <cstdint>

#include "sandbox/confinement.h"
#include "sandbox/request.h"

namespace scrapetrace::sandbox {

// How a worker ended, as waitpid() tells it.
struct Ending {
  int status = 0;
  bool late = false;       // its time was over, and it was killed
  bool not_begun = false;  // no process could be made, or it could not be closed in
  Confinement confinement{Gap::none};
};

// Serves requests (a Request's bytes and the scan's name, with the scan, a pipe for the reply and a socket
// for the Ending) until the other end of `control` closes; then ends all workers and itself.
[[noreturn]] void run_nursery(int control, Work work);

}  // namespace scrapetrace::sandbox
