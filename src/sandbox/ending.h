#pragma once

namespace scrapetrace::sandbox {

// How a worker ended: by its own word, that it has let go of its result, or as waitpid() tells it.
struct Ending {
  int status = 0;
  bool late = false;       // its time was over, and it was killed
  bool not_begun = false;  // no process could be made
};

}  // namespace scrapetrace::sandbox
