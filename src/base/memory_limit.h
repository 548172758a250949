#pragma once
// How much memory work may take. The system's own limits are none for that: libraries in C (GLib among them)
// end the program when they get no memory.

namespace scrapetrace {

// From here on work that has a TimeLimit ends with std::bad_alloc, at its next check, while this process
// holds so many bytes more than now. 0: no limit.
void limit_memory(double bytes);

// Throws std::bad_alloc when it is over. Looks every two milliseconds at most.
void check_memory();

}  // namespace scrapetrace
