#pragma once
// A second barrier besides seccomp: Landlock (landlock(7)).

namespace scrapetrace::sandbox {

// From here on this thread, and all it starts, cannot open, create or remove files by name. Newer kernels
// also block TCP ports and signals to processes outside. Open files stay usable. Call it while
// single-threaded. Returns the kernel's Landlock ABI version; 0: not supported, and nothing is restricted.
int restrict_by_landlock();

}  // namespace scrapetrace::sandbox
