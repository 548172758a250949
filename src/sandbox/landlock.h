#pragma once
// The kernel's second lock on files, networks and other processes' signals (landlock(7)).

namespace scrapetrace::sandbox {

// From here on this process, and all threads that it starts, can open, make and remove no file by its name,
// whatever its filter of system calls lets through; where the kernel knows how, it can use no TCP port, and
// send no signal to processes outside, by an open file's owner least of all. What is open stays. Call it with
// one thread. Returns what the kernel knows of it (its version of Landlock); 0: nothing, and nothing is
// locked.
int lock_paths();

}  // namespace scrapetrace::sandbox
