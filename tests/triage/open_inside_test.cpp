#include "triage/open_inside.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <thread>

namespace scrapetrace::triage {
namespace {

namespace fs = std::filesystem;

std::string bytes_of(const OpenFile& file) {
  std::ostringstream out;
  out << std::ifstream(file.path()).rdbuf();
  return out.str();
}

// A folder with a scan in it, and a secret beside it.
class OpenInside : public testing::Test {
 protected:
  void SetUp() override {
    fs::remove_all(top_);
    fs::create_directories(root_ / "unit");
    write(root_ / "unit" / "a.png", "scan");
    write(top_ / "secret", "secret");
  }
  void TearDown() override { fs::remove_all(top_); }
  static void write(const fs::path& path, const std::string& text) { std::ofstream(path) << text; }
  [[nodiscard]] Result<OpenFile> open(const std::string& name) const {
    return open_inside(root_.string(), name);
  }
  [[nodiscard]] std::string refusal(const std::string& name) const {
    const auto file = open(name);
    return file ? "opened" : file.problems().front().what;
  }

  const fs::path top_ = fs::path(testing::TempDir()) / ("open-inside-" + std::to_string(getpid()));
  const fs::path root_ = top_ / "inbox";
};

TEST_F(OpenInside, GivesTheFile) {
  const auto file = open("unit/a.png");
  ASSERT_TRUE(file.ok());
  EXPECT_EQ(bytes_of(*file), "scan");
  EXPECT_EQ(refusal("unit/b.png"), "no such file; check the name");
}

TEST_F(OpenInside, FollowsLinksThatStay) {
  fs::create_symlink(root_ / "unit" / "a.png", root_ / "again.png");
  fs::create_directory_symlink("unit", root_ / "same");
  for (const char* name : {"again.png", "same/a.png"}) {
    const auto file = open(name);
    ASSERT_TRUE(file.ok()) << name;
    EXPECT_EQ(bytes_of(*file), "scan");
  }
}

TEST_F(OpenInside, FollowsNoneThatLeadsOut) {
  fs::create_symlink("../secret", root_ / "near.png");
  fs::create_directory_symlink(top_, root_ / "up");
  for (const char* name : {"near.png", "up/secret", "../secret", "unit/../../secret"})
    EXPECT_EQ(refusal(name).rfind("is a link that leads out of the folder", 0), 0U) << name;
  EXPECT_NE(refusal(".").find("leads out"), std::string::npos);  // no file of the folder
}

TEST_F(OpenInside, KnowsAFileThatChanged) {
  const auto before = open("unit/a.png");
  ASSERT_TRUE(before.ok());
  const std::string stamp = before->stamp();
  EXPECT_EQ(open("unit/a.png")->stamp(), stamp);
  write(root_ / "unit" / "new.png", "scan");  // the same bytes in another file
  fs::rename(root_ / "unit" / "new.png", root_ / "unit" / "a.png");
  EXPECT_NE(open("unit/a.png")->stamp(), stamp);
  EXPECT_EQ(before->stamp().substr(0, stamp.find(' ')), stamp.substr(0, stamp.find(' ')));
}

// Somebody swaps the scan and a folder above it for links while they are opened, as fast as can be: the
// secret never comes out, and the scan does between swaps.
TEST_F(OpenInside, WinsTheRaceAgainstASwap) {
  std::atomic<bool> done = false;
  fs::create_directories(top_ / "bad");
  write(top_ / "bad" / "a.png", "secret");
  std::thread swapper([&] {
    while (!done) {
      std::error_code ignored;
      fs::rename(root_ / "unit", top_ / "kept", ignored);
      fs::create_directory_symlink(top_ / "bad", root_ / "unit", ignored);
      fs::remove(root_ / "unit", ignored);
      fs::rename(top_ / "kept", root_ / "unit", ignored);
    }
  });
  int scans = 0;
  int secrets = 0;
  for (int i = 0; i < 20000; ++i) {
    const auto file = open("unit/a.png");
    if (!file) continue;
    const std::string got = bytes_of(*file);
    scans += got == "scan" ? 1 : 0;
    secrets += got == "secret" ? 1 : 0;
  }
  done = true;
  swapper.join();
  EXPECT_EQ(secrets, 0);
  EXPECT_GT(scans, 0);
}

}  // namespace
}  // namespace scrapetrace::triage
