#include "base/atomic_file.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <set>

namespace scrapetrace {
namespace {

namespace fs = std::filesystem;

class AtomicFiles : public testing::Test {
 protected:
  void SetUp() override {
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }
  [[nodiscard]] std::set<std::string> names() const {
    std::set<std::string> out;
    for (const auto& entry : fs::directory_iterator(folder_)) out.insert(entry.path().filename().string());
    return out;
  }
  static std::string held(const fs::path& file) {
    std::ifstream in(file);
    return {std::istreambuf_iterator<char>(in), {}};
  }
  const fs::path folder_ = fs::path(testing::TempDir()) / ("parts" + std::to_string(getpid()));
  const fs::path target_ = folder_ / "out.json";
};

TEST_F(AtomicFiles, AreHiddenAndRemovedWithoutCommit) {
  {
    const AtomicFile file(target_.string());
    EXPECT_EQ(file.write("half"), "");
    ASSERT_EQ(names().size(), 1U);
    EXPECT_TRUE(names().begin()->starts_with(".out.json."));
    EXPECT_TRUE(names().begin()->ends_with(".part"));
  }
  EXPECT_TRUE(names().empty());
}

TEST_F(AtomicFiles, AppearWholeUnderTheirName) {
  AtomicFile file(target_.string());
  EXPECT_EQ(file.write("who"), "");
  std::ofstream(file.path(), std::ios::app) << "le";
  EXPECT_FALSE(fs::exists(target_));
  EXPECT_EQ(file.commit(Existing::keep), "");
  EXPECT_EQ(held(target_), "whole");
  EXPECT_EQ(names().size(), 1U);
  AtomicFile second(target_.string());
  EXPECT_NE(second.commit(Existing::keep), "");
  EXPECT_EQ(held(target_), "whole");
}

// Whoever may write to the folder could lay a link under a name that can be guessed, and had a file of the
// user's overwritten.
TEST_F(AtomicFiles, HaveNamesThatNobodyGuessesAndFollowNoLink) {
  std::set<std::string> seen;
  for (int k = 0; k < 50; ++k) {
    const AtomicFile file(target_.string());
    for (const auto& name : names()) seen.insert(name);
  }
  EXPECT_EQ(seen.size(), 50U);
  for (const auto& name : seen)
    EXPECT_EQ(name.find(std::to_string(getpid()) + "-"), std::string::npos) << name;
  // What lies in the folder meanwhile is not what is written to.
  const fs::path victim = folder_ / "victim";
  std::ofstream(victim) << "mine";
  AtomicFile file(target_.string());
  const auto hidden = *names().begin();
  fs::remove(folder_ / hidden);
  fs::create_symlink(victim, folder_ / hidden);
  EXPECT_EQ(file.write("theirs"), "");
  std::ofstream(file.path(), std::ios::app) << "too";
  EXPECT_EQ(held(victim), "mine");
}

TEST_F(AtomicFiles, SayWhyTheyCannotBeMade) {
  const AtomicFile file((folder_ / "no" / "out.json").string());
  EXPECT_NE(file.failed(), "");
  EXPECT_EQ(file.write("x"), file.failed());
  const AtomicFile long_name((folder_ / std::string(240, 'a')).string());
  EXPECT_EQ(long_name.failed(), "");
}

}  // namespace
}  // namespace scrapetrace
