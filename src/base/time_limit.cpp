#include "base/time_limit.h"

#include <algorithm>

#include "base/memory_limit.h"

namespace scrapetrace {

namespace {
thread_local TimePoint limit = TimePoint::max();
}  // namespace

TimeLimit::TimeLimit(TimePoint until) : before_(limit) {
  limit = std::min(limit, until);
}

TimeLimit::~TimeLimit() {
  limit = before_;
}

TimePoint TimeLimit::of_thread() {
  return limit;
}

void TimeLimit::check() {
  if (limit == TimePoint::max()) return;
  if (std::chrono::steady_clock::now() > limit) throw OutOfTime();
  check_memory();
}

}  // namespace scrapetrace
