#pragma once
// A limit on the process's memory. The system's own limit (RLIMIT_AS) would not do: C libraries such as GLib
// end the program when an allocation fails.

namespace scrapetrace {

// From here on, work under a TimeLimit ends with std::bad_alloc at its next check once this process holds
// `bytes` more than now. 0: no limit.
void limit_memory(double bytes);

// Throws std::bad_alloc when the limit is exceeded. Measures at most every two milliseconds.
void check_memory();

}  // namespace scrapetrace
