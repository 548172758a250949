// Work that is shared with threads that stay.

#include "base/crew.h"

#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <cstdlib>
#include <latch>
#include <thread>

namespace scrapetrace {
namespace {

TEST(Crew, HelpsWithWhatIsOffered) {
  Crew crew;
  for (int round = 0; round < 100; ++round) {
    std::latch all_here(3);  // would wait for ever if fewer came
    std::atomic<int> calls{0};
    crew.share([&] { all_here.arrive_and_wait(), ++calls; }, 2);
    EXPECT_EQ(calls, 3);
  }
}

TEST(Crew, WaitsForNobodyWhoHasNotCome) {
  Crew crew;
  std::latch taken(2);
  std::latch done(1);
  std::thread busy([&] { crew.share([&] { taken.arrive_and_wait(), done.wait(); }, 1); });
  taken.wait();  // the only helper is at work
  int calls = 0;
  crew.share([&] { ++calls; }, 1);
  EXPECT_EQ(calls, 1);
  done.count_down();
  busy.join();
}

TEST(Crew, MayBeAskedByItsOwnHelpers) {
  Crew crew;
  std::atomic<int> calls{0};
  std::latch both(2);
  crew.share(
      [&] {
        both.arrive_and_wait();
        crew.share([&] { ++calls; }, 1);
      },
      1);
  EXPECT_GE(calls, 2);
  EXPECT_LE(calls, 4);
}

TEST(Crew, LeavesAForkedProcessToItself) {
  Crew& crew = Crew::of_process();
  for (int round = 0; round < 20; ++round) {
    crew.share([] {}, 3);
    if (round % 2 == 0) std::this_thread::sleep_for(std::chrono::milliseconds(1));  // until all wait for more
    const pid_t child = fork();
    if (child == 0) {
      alarm(20);
      int own = 0;
      for (int k = 0; k < 5; ++k) crew.share([&] { ++own; }, 3);
      std::exit(own);
    }
    int status = 0;
    ASSERT_EQ(waitpid(child, &status, 0), child);
    EXPECT_TRUE(WIFEXITED(status)) << "signal " << WTERMSIG(status);
    EXPECT_EQ(WEXITSTATUS(status), 5);
  }
}

}  // namespace
}  // namespace scrapetrace
