// Work that is shared with threads that stay.

#include "base/crew.h"

#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <latch>

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
  std::atomic<int> calls{0};
  crew.share([&] { ++calls; }, 1);
  const pid_t child = fork();
  if (child == 0) {
    int own = 0;
    crew.share([&] { ++own; }, 1);
    std::exit(own == 1 ? 7 : 8);  // destroys the crew, too
  }
  int status = 0;
  ASSERT_EQ(waitpid(child, &status, 0), child);
  EXPECT_TRUE(WIFEXITED(status));
  EXPECT_EQ(WEXITSTATUS(status), 7);
}

}  // namespace
}  // namespace scrapetrace
