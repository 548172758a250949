#pragma once
// A deadline for a whole call tree: the caller sets it, loops check it.

#include "scrapetrace/out_of_time.h"

namespace scrapetrace {

// While this lives, work on this thread, and parts of it that for_each_part() gives to others, end with
// OutOfTime at the next check after `until`. Nested limits: the earlier counts.
class TimeLimit {
 public:
  explicit TimeLimit(TimePoint until);
  TimeLimit(const TimeLimit&) = delete;
  TimeLimit& operator=(const TimeLimit&) = delete;
  ~TimeLimit();

  // The deadline of this thread; time_point::max() without one.
  static TimePoint of_thread();
  // Throws OutOfTime after the deadline, and std::bad_alloc above the memory limit (memory_limit.h).
  static void check();

 private:
  TimePoint before_;
};

}  // namespace scrapetrace
