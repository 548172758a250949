#include "triage/folder_lock.h"

#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <filesystem>

namespace scrapetrace::triage {
namespace {

namespace fs = std::filesystem;

std::string fresh() {
  std::string folder = testing::TempDir() + "/lock" + std::to_string(getpid());
  fs::remove_all(folder);
  fs::create_directories(folder);
  return folder;
}

TEST(FolderLock, IsHeldByOneAndGoesWithIt) {
  const std::string folder = fresh();
  {
    const auto first = FolderLock::take(folder);
    ASSERT_TRUE(first.ok());
    const auto second = FolderLock::take(folder);
    ASSERT_FALSE(second.ok());
    EXPECT_NE(second.problems().front().what.find("another triage"), std::string::npos);
  }
  EXPECT_TRUE(FolderLock::take(folder).ok());
  EXPECT_TRUE(fs::is_empty(folder));
  EXPECT_FALSE(FolderLock::take(folder + "/no").ok());
}

TEST(FolderLock, GoesWithAProcessThatIsKilled) {
  const std::string folder = fresh();
  std::array<int, 2> ready{};
  ASSERT_EQ(pipe(ready.data()), 0);
  const pid_t child = fork();
  if (child == 0) {
    const auto lock = FolderLock::take(folder);
    const char done = lock.ok() ? 'y' : 'n';
    if (write(ready[1], &done, 1) != 1) _exit(1);
    pause();
    _exit(0);
  }
  char done = 0;
  ASSERT_EQ(read(ready[0], &done, 1), 1);
  EXPECT_EQ(done, 'y');
  EXPECT_FALSE(FolderLock::take(folder).ok());
  kill(child, SIGKILL);
  waitpid(child, nullptr, 0);
  EXPECT_TRUE(FolderLock::take(folder).ok());
  close(ready[0]);
  close(ready[1]);
}

}  // namespace
}  // namespace scrapetrace::triage
