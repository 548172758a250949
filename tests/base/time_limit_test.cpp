#include "base/time_limit.h"

#include <gtest/gtest.h>

#include <atomic>
#include <thread>

#include "base/parallel.h"

namespace scrapetrace {
namespace {

using std::chrono::milliseconds;
using Clock = std::chrono::steady_clock;

TEST(TimeLimit, EndsWorkOnAllThreads) {
  for (const int threads : {1, 4}) {
    std::atomic<int> parts = 0;
    const auto begun = Clock::now();
    const TimeLimit limit(begun + milliseconds(30));
    EXPECT_THROW(for_each_part(100000, threads,
                               [&](std::size_t) {
                                 for_each_part(2, threads, [&](std::size_t) {
                                   std::this_thread::sleep_for(milliseconds(1));
                                   ++parts;
                                 });
                               }),
                 OutOfTime);
    EXPECT_LT(parts, 1000);
    EXPECT_LT(Clock::now() - begun, std::chrono::seconds(5));
  }
}

TEST(TimeLimit, EndsWithItsScope) {
  {
    const TimeLimit over(Clock::now() - milliseconds(1));
    const TimeLimit later(Clock::now() + std::chrono::hours(1));  // does not lengthen it
    EXPECT_THROW(TimeLimit::check(), OutOfTime);
  }
  EXPECT_NO_THROW(TimeLimit::check());
  int parts = 0;
  for_each_part(3, 1, [&](std::size_t) { ++parts; });
  EXPECT_EQ(parts, 3);
}

}  // namespace
}  // namespace scrapetrace
