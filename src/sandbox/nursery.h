#pragma once
// The process that starts workers: made early, while the program is one thread without libraries of images.
// It never looks into a scan itself.

#include "sandbox/request.h"

namespace scrapetrace::sandbox {

// Serves requests (a Request's bytes and the scan's name, with the scan, a file for the result and a socket
// for the Ending) until the other end of `control` closes; then ends all workers and itself. A worker that
// has done its work tells its Ending itself; what is told after that does not count.
[[noreturn]] void run_nursery(int control, Work work);

}  // namespace scrapetrace::sandbox
