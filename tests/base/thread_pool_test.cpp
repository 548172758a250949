#include "base/thread_pool.h"

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

TEST(ThreadPool, RunsATaskOnAllHelpers) {
  ThreadPool pool;
  for (int round = 0; round < 100; ++round) {
    std::latch all_here(3);  // would wait for ever if fewer came
    std::atomic<int> calls{0};
    pool.run([&] { all_here.arrive_and_wait(), ++calls; }, 2);
    EXPECT_EQ(calls, 3);
  }
}

TEST(ThreadPool, DoesNotWaitForHelpersThatNeverJoined) {
  ThreadPool pool;
  std::latch taken(2);
  std::latch done(1);
  std::thread busy([&] { pool.run([&] { taken.arrive_and_wait(), done.wait(); }, 1); });
  taken.wait();  // the only helper is at work
  int calls = 0;
  pool.run([&] { ++calls; }, 1);
  EXPECT_EQ(calls, 1);
  done.count_down();
  busy.join();
}

TEST(ThreadPool, MayBeCalledFromItsOwnThreads) {
  ThreadPool pool;
  std::atomic<int> calls{0};
  std::latch both(2);
  pool.run(
      [&] {
        both.arrive_and_wait();
        pool.run([&] { ++calls; }, 1);
      },
      1);
  EXPECT_GE(calls, 2);
  EXPECT_LE(calls, 4);
}

TEST(ThreadPool, WorksAloneInAForkedChild) {
  ThreadPool& pool = ThreadPool::of_process();
  for (int round = 0; round < 20; ++round) {
    pool.run([] {}, 3);
    if (round % 2 == 0) std::this_thread::sleep_for(std::chrono::milliseconds(1));  // until all wait for more
    const pid_t child = fork();
    if (child == 0) {
      alarm(20);
      int own = 0;
      for (int k = 0; k < 5; ++k) pool.run([&] { ++own; }, 3);
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
