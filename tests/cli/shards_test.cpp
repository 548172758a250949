// A triage shared out over machines gives what one machine gives.

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <map>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

namespace fs = std::filesystem;
using Words = std::vector<std::string>;

std::string layout() {
  return source_path("geometry/hobdrel.toml");
}

Words triage(const Words& more) {
  Words words{"triage", "--layout", layout()};
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

// Text where scans should be: the work of a case is not what is tried here.
void fill(const std::string& inbox, int cases) {
  fs::create_directories(inbox);
  for (int i = 0; i < cases; ++i)
    std::ofstream(inbox + "/unit" + std::to_string(i) + "-1.png") << "no picture " << i;
}

std::map<std::string, std::string> contents(const std::string& folder) {
  std::map<std::string, std::string> out;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    if (entry.is_regular_file() && entry.path().filename() != "triage.sqlite")
      out[fs::relative(entry.path(), folder).string()] = slurp(entry.path().string());
  }
  return out;
}

class Shards : public ::testing::Test {
 protected:
  void SetUp() override {
    fs::remove_all(at_);
    fs::create_directories(at_);
    fill(inbox_, 17);
  }
  void TearDown() override { fs::remove_all(at_); }
  Words judge_shards(int count) {
    Words folders;
    for (int i = 1; i <= count; ++i) {
      folders.push_back(at_ + "/shard" + std::to_string(i));
      const Ran ran = run_tool(triage(
          {"--shard", std::to_string(i) + "/" + std::to_string(count), "--out", folders.back(), inbox_}));
      EXPECT_TRUE(ran.status == 1 || ran.status == 0) << ran.err;  // no case is a scan; a shard may be empty
    }
    return folders;
  }
  Ran merge(const Words& folders, const std::string& out) {
    Words words = triage({"--merge", "--out", out});
    words.insert(words.end(), folders.begin(), folders.end());
    return run_tool(words);
  }

  const std::string at_ = scratch() + "/shards";
  const std::string inbox_ = at_ + "/inbox";
};

TEST_F(Shards, MergedAreWhatOneRunWrites) {
  const std::string whole = at_ + "/whole";
  const Ran one = run_tool(triage({"--out", whole, inbox_}));
  EXPECT_EQ(one.status, 1) << one.err;
  const auto expected = contents(whole);
  ASSERT_EQ(expected.size(), 17 + 2U);
  for (const int count : {2, 30}) {  // of thirty some are empty
    const auto folders = judge_shards(count);
    const std::string merged = at_ + "/merged" + std::to_string(count);
    const Ran ran = merge(folders, merged);
    EXPECT_EQ(ran.status, 1) << ran.err;
    EXPECT_EQ(ran.out, one.out);
    EXPECT_EQ(contents(merged), expected);
    // Once more, and one shard twice: the same.
    Words twice = folders;
    twice.push_back(folders.front());
    EXPECT_EQ(merge(twice, merged).status, 1);
    EXPECT_EQ(contents(merged), expected);
    for (const auto& folder : folders) fs::remove_all(folder);
  }
}

TEST_F(Shards, OfAnotherMachineAreRefused) {
  const auto folders = judge_shards(2);
  const Ran ran = run_tool({"triage", "--merge", "--layout", source_path("geometry/quennip.toml"), "--out",
                            at_ + "/merged", folders[0], folders[1]});
  EXPECT_EQ(ran.status, 2);
  EXPECT_NE(ran.err.find("another layout"), std::string::npos) << ran.err;
}

TEST_F(Shards, ThatDisagreeAboutACaseAreRefused) {
  const auto folders = judge_shards(1);
  for (const auto& entry : fs::directory_iterator(inbox_)) std::ofstream(entry.path(), std::ios::app) << "!";
  const std::string other = at_ + "/other";
  run_tool(triage({"--out", other, inbox_}));
  const Ran ran = merge({folders[0], other}, at_ + "/merged");
  EXPECT_EQ(ran.status, 2);
  EXPECT_NE(ran.err.find("judged on other scans"), std::string::npos) << ran.err;
}

TEST_F(Shards, MistakesAreNamed) {
  for (const auto& [words, message] : std::vector<std::pair<Words, std::string>>{
           {{"--shard", "3/2", "--out", at_ + "/x", inbox_}, "--shard takes I/N"},
           {{"--merge", "--shard", "1/2", "--out", at_ + "/x", inbox_}, "leave out --shard"},
           {{"--merge", "--out", at_ + "/x"}, "name the shards' folders"},
           {{"--merge", "--out", at_ + "/x", at_}, "holds no triage"}}) {
    const Ran ran = run_tool(triage(words));
    EXPECT_EQ(ran.status, 2) << message;
    EXPECT_NE(ran.err.find(message), std::string::npos) << ran.err;
  }
}

}  // namespace
}  // namespace scrapetrace::cli
