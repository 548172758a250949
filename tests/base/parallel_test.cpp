#include "base/parallel.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

namespace scrapetrace {
namespace {

TEST(ForEachPart, DoesEveryPartOnceOnAnyNumberOfThreads) {
  for (const int threads : {0, 1, 2, 7, 40}) {
    for (const std::size_t n : {0U, 1U, 5U, 1000U}) {
      std::vector<int> done(n, 0);
      for_each_part(n, threads, [&](std::size_t i) { ++done[i]; });
      EXPECT_EQ(done, std::vector<int>(n, 1)) << threads << " threads";
    }
  }
}

TEST(ForEachPart, ThrowsWhatAPartThrowsAndLeavesTheRest) {
  std::atomic<int> done{0};
  const auto work = [&](std::size_t i) {
    if (i == 3) throw std::runtime_error("part 3");
    if (i > 3) std::this_thread::sleep_for(std::chrono::microseconds(100));  // lets the other thread throw
    ++done;
  };
  EXPECT_THROW(for_each_part(100000, 2, work), std::runtime_error);
  EXPECT_LT(done, 100000 - 1);
}

TEST(ForEachStretch, CutsAllPartsTheSameWayOnAnyNumberOfThreads) {
  for (const int threads : {1, 3}) {
    for (const std::size_t n : {0U, 1U, 8U, 9U, 100U}) {
      std::vector<std::size_t> end(n, 0);  // of the stretch that each part is in
      for_each_stretch(n, 8, threads, [&](std::size_t from, std::size_t to) {
        for (std::size_t i = from; i < to; ++i) end[i] += to;
      });
      for (std::size_t i = 0; i < n; ++i) EXPECT_EQ(end[i], std::min(n, i / 8 * 8 + 8)) << n << " " << i;
    }
  }
}

TEST(SideBySide, DoesEachPieceOnceAndThrowsWhatOneThrows) {
  for (const int threads : {1, 2, 5}) {
    int first = 0;
    std::string second;
    side_by_side(
        threads, [&] { ++first; }, [&] { second += "done"; });
    EXPECT_EQ(first, 1) << threads;
    EXPECT_EQ(second, "done") << threads;
    EXPECT_THROW(side_by_side(
                     threads, [] {}, [] { throw std::runtime_error("the second"); }),
                 std::runtime_error);
  }
}

}  // namespace
}  // namespace scrapetrace
