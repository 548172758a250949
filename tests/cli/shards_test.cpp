// A triage shared out over machines gives what one machine gives.

#include <gtest/gtest.h>

#include <cstdlib>
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

// Names of scans on text: the work of a case is not what is tried here.
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
  ASSERT_EQ(expected.size(), 17 + 3U);
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

// A customer in the part that was left out would not have been missed by anybody.
TEST_F(Shards, AMissingPartIsRefusedByName) {
  const auto folders = judge_shards(4);
  for (std::size_t missing = 0; missing < folders.size(); ++missing) {
    Words left = folders;
    left.erase(left.begin() + static_cast<std::ptrdiff_t>(missing));
    const std::string out = at_ + "/merged" + std::to_string(missing);
    const Ran ran = merge(left, out);
    EXPECT_EQ(ran.status, 2);
    EXPECT_NE(ran.err.find("part " + std::to_string(missing + 1) + "/4 is not given"), std::string::npos)
        << ran.err;
    EXPECT_FALSE(fs::exists(out + "/cases.jsonl"));
  }
  const Ran two = merge({folders[0], folders[1]}, at_ + "/two");
  EXPECT_NE(two.err.find("parts 3/4, 4/4 are not given"), std::string::npos) << two.err;
  fs::remove_all(folders[0]);
  run_tool(triage({"--shard", "1/3", "--out", folders[0], inbox_}));
  const Ran other = merge(folders, at_ + "/other");
  EXPECT_EQ(other.status, 2);
  EXPECT_NE(other.err.find("merge the parts of one division"), std::string::npos) << other.err;
}

// What somebody who makes a shard of his own may try.
class ForgedShard : public Shards {
 protected:
  void SetUp() override {
    Shards::SetUp();
    folders_ = judge_shards(2);
    std::ofstream(secret_) << "secret";
  }
  [[nodiscard]] std::string lines() const { return slurp(folders_[0] + "/cases.jsonl"); }
  // With what part.json says of them.
  void forge(const std::string& lines) const {
    std::ofstream(folders_[0] + "/cases.jsonl", std::ios::binary) << lines;
    const std::string sum = at_ + "/sum";
    ASSERT_EQ(
        std::system(("sha256sum '" + folders_[0] + "/cases.jsonl' | cut -c1-64 | tr -d '\\n' > '" + sum + "'")
                        .c_str()),
        0);
    set("\"lines_sha256\":\"", slurp(sum) + "\"}\n");
  }
  // What follows `key` in part.json.
  void set(const std::string& key, const std::string& rest) const {
    const std::string path = folders_[0] + "/part.json";
    std::string part = slurp(path);
    part.erase(part.find(key) + key.size());
    std::ofstream(path) << part << rest;
  }
  void expect_refused(const std::string& reason) {
    const Ran ran = merge(folders_, at_ + "/merged");
    EXPECT_EQ(ran.status, 2) << reason << ran.out;
    EXPECT_NE(ran.err.find(reason), std::string::npos) << ran.err;
    EXPECT_FALSE(fs::exists(at_ + "/merged/overview.html")) << reason;
  }
  static std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    return text.replace(at, from.size(), to);
  }
  [[nodiscard]] std::string report() const {
    const std::string key = "\"report\":\"";
    const auto at = lines().find(key) + key.size();
    return folders_[0] + "/" + lines().substr(at, lines().find('"', at) - at);
  }

  Words folders_;
  const std::string secret_ = at_ + "/secret.html";
};

TEST_F(ForgedShard, SaysNothingThatItsPartDoesNot) {
  const std::string ours = lines();
  std::ofstream(folders_[0] + "/cases.jsonl", std::ios::app) << ours;
  expect_refused("is not what part.json says");
  forge(replaced(ours, "\"group\":4", "\"group\":99"));
  expect_refused("cases.jsonl:1: holds a line whose 'group'");
  forge(replaced(ours, "\"kind\":\"could_not_look\"", "\"kind\":\"<script>\""));
  expect_refused("'answer.kind'");
  forge(ours.substr(0, ours.size() / 2));
  expect_refused("cases.jsonl");
  forge(std::string(200, '[') + ours);
  expect_refused("nests deeper");
  forge(slurp(folders_[1] + "/cases.jsonl"));
  expect_refused("belongs to another part");
  forge(replaced(ours, "\"report\":\"reports/", "\"report\":\"../../"));
  expect_refused("has a report of another name");
}

TEST_F(ForgedShard, WordsReachNeitherTheOverviewNorTheTerminalRaw) {
  const std::string bad = "<script>alert(1)</script>\\u001b]0;owned\\u0007\\u202e";
  forge(replaced(lines(), "\"sentence\":\"", "\"sentence\":\"" + bad));
  const Ran ran = merge(folders_, at_ + "/merged");
  EXPECT_EQ(ran.status, 1) << ran.err;
  EXPECT_EQ(ran.out.find('\x1b'), std::string::npos);
  EXPECT_EQ(ran.out.find("\xE2\x80\xAE"), std::string::npos);
  const std::string page = slurp(at_ + "/merged/overview.html");
  EXPECT_EQ(page.find("<script"), std::string::npos);
  EXPECT_NE(page.find("&lt;script&gt;"), std::string::npos);
}

TEST_F(ForgedShard, LinksLeadNowhere) {
  const std::string ours = report();
  fs::remove(ours);
  fs::create_symlink(secret_, ours);
  expect_refused("leads out of the folder");
  fs::remove(ours);
  expect_refused("run this shard again: it makes what is missing");
  fs::create_directory(ours);
  expect_refused("is no plain file");
  fs::remove(ours);
  std::ofstream(ours) << "<script>alert(1)</script>";
  expect_refused("is no page that this program writes");
  const std::string lines_file = folders_[0] + "/cases.jsonl";
  fs::remove(lines_file);
  fs::create_symlink(secret_, lines_file);
  expect_refused("leads out of the folder");
  fs::remove(folders_[0] + "/part.json");
  fs::create_symlink(secret_, folders_[0] + "/part.json");
  expect_refused("holds no finished triage");
}

TEST_F(ForgedShard, PartsThatCannotBeAreRefused) {
  const std::string path = folders_[0] + "/part.json";
  const std::string ours = slurp(path);
  for (const std::string part : {"99", "0/2", "3/2", "1/99999999999", "-1/2", "1/2 ", ""}) {
    std::ofstream(path) << replaced(ours, "\"part\":\"1/2\"", "\"part\":\"" + part + "\"");
    expect_refused("it needs I/N");
  }
  std::ofstream(path) << replaced(ours, "\"part\":\"1/2\"", "\"part\":99");
  expect_refused("holds a line whose 'part'");
  std::ofstream(path) << std::string(100000, ' ') << ours;
  expect_refused("bytes; at most");
}

TEST_F(ForgedShard, ADatabaseOfTheirsIsNotOpened) {
  std::ofstream(folders_[0] + "/triage.sqlite") << "SQLite format 3 and then something made to do harm";
  EXPECT_EQ(merge(folders_, at_ + "/merged").status, 1);
}

// A disk that was sent, or a folder of somebody else's.
TEST_F(ForgedShard, ShardsThatMayOnlyBeReadAreMerged) {
  for (const auto& folder : folders_) {
    for (const auto& entry : fs::recursive_directory_iterator(folder))
      fs::permissions(entry.path(), entry.is_directory() ? fs::perms(0555) : fs::perms(0444));
    fs::permissions(folder, fs::perms(0555));
  }
  EXPECT_EQ(merge(folders_, at_ + "/merged").status, 1);
  for (const auto& folder : folders_) {
    fs::permissions(folder, fs::perms(0755));
    fs::permissions(folder + "/reports", fs::perms(0755));
  }
}

TEST_F(ForgedShard, APartUnderWorkIsNotFinished) {
  fs::remove(folders_[0] + "/part.json");
  expect_refused("run this shard again: it goes on where it was");
  EXPECT_EQ(merge({folders_[1]}, folders_[1]).status, 2);
}

TEST_F(Shards, MistakesAreNamed) {
  for (const auto& [words, message] : std::vector<std::pair<Words, std::string>>{
           {{"--shard", "3/2", "--out", at_ + "/x", inbox_}, "--shard takes I/N"},
           {{"--merge", "--shard", "1/2", "--out", at_ + "/x", inbox_}, "leave out --shard"},
           {{"--merge", "--out", at_ + "/x"}, "name the shards' folders"},
           {{"--merge", "--out", at_ + "/x", inbox_}, "holds no finished triage"}}) {
    const Ran ran = run_tool(triage(words));
    EXPECT_EQ(ran.status, 2) << message;
    EXPECT_NE(ran.err.find(message), std::string::npos) << ran.err;
  }
}

}  // namespace
}  // namespace scrapetrace::cli
