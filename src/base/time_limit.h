#pragma once
// How long work may take, for all that it calls: loops ask, whoever began it says.

#include "scrapetrace/out_of_time.h"

namespace scrapetrace {

// While this lives, work on this thread, and on others that for_each_part() gives parts of it to, ends with
// OutOfTime at the next check after `until`. Within another one, the earlier time counts.
class TimeLimit {
 public:
  explicit TimeLimit(TimePoint until);
  TimeLimit(const TimeLimit&) = delete;
  TimeLimit& operator=(const TimeLimit&) = delete;
  ~TimeLimit();

  // Of this thread; time_point::max() without one.
  static TimePoint of_thread();
  // Throws OutOfTime when it has passed, and std::bad_alloc when this process holds too much
  // (memory_limit.h).
  static void check();

 private:
  TimePoint before_;
};

}  // namespace scrapetrace
