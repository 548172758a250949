// A desk answers everybody: whatever lies in the inbox has a row, and the rows add up.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
using Words = std::vector<std::string>;
namespace fs = std::filesystem;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");

Ran tool(const std::string& command, const Words& more) {
  Words words{command, "--layout", kLayout, "--chart", kChart};
  words.insert(words.end(), more.begin(), more.end());
  return run_tool(words);
}

class Accounts : public testing::Test {
 protected:
  void SetUp() override {
    fs::create_directories(inbox_);
    ASSERT_EQ(tool("simulate", {"--dpi", "100", "--out", scan_}).status, 0);
  }
  void TearDown() override {
    std::error_code ignored;
    fs::permissions(inbox_ + "/locked", fs::perms::owner_all, ignored);
  }
  void put(const std::string& name, const std::string& bytes) const {
    fs::create_directories(fs::path(inbox_ + "/" + name).parent_path());
    std::ofstream(inbox_ + "/" + name, std::ios::binary) << bytes;
  }
  [[nodiscard]] Ran judged(const Words& more = {}) const {
    Words words{"--out", out_};
    words.insert(words.end(), more.begin(), more.end());
    words.push_back(inbox_);
    return tool("triage", words);
  }
  [[nodiscard]] std::map<std::string, Json> rows() const {
    std::map<std::string, Json> all;
    std::istringstream text(slurp(out_ + "/cases.jsonl"));
    for (std::string line; std::getline(text, line);) {
      const Json row = Json::parse(line);
      all[row["case"]] = row;
    }
    return all;
  }
  [[nodiscard]] std::string scan() const { return slurp(scan_); }

  const std::string at_ = scratch();
  const std::string inbox_ = at_ + "/inbox";
  const std::string out_ = at_ + "/out";
  const std::string scan_ = at_ + "/scan.png";
};

// What counts is what a file holds.
TEST_F(Accounts, AScanIsReadWhateverItsNameSays) {
  for (const char* name : {"bare", "a.jfif", "b.tmp", "c.bmp", "d.zip", "e.eml", "f.PNG", "g.txt"})
    put(std::string(name), scan());
  const Ran ran = judged();
  EXPECT_EQ(ran.status, 0) << ran.out << ran.err;
  ASSERT_EQ(rows().size(), 8U);
  for (const auto& [name, row] : rows()) EXPECT_TRUE(row["scans"][0]["analysed"].get<bool>()) << name;
  EXPECT_NE(ran.out.find("\n8 in: 8 cases judged, 0 not."), std::string::npos) << ran.out;
}

TEST_F(Accounts, EveryInputHasARowAndTheRowsAddUp) {
  put("good/scan", scan());
  put("good/notes.txt", "see attached");
  put("mail.eml", "From: a@example.org\nSubject: streaks\n\nSee attached.\n");
  put("pack/scans.zip", "PK\x03\x04 and so on");
  put("paint.bmp", "BM1234");
  put("empty.dat", "");
  put("torn.png", scan().substr(0, 3000));
  put("Thumbs.db", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1");
  fs::create_directories(inbox_ + "/nothing/inside");
  fs::create_directory_symlink("/etc", inbox_ + "/away");
  fs::create_symlink(inbox_ + "/gone", inbox_ + "/dangling.png");
  ASSERT_EQ(mkfifo((inbox_ + "/pipe").c_str(), 0600), 0);
  const Ran ran = judged();
  EXPECT_EQ(ran.status, 1) << ran.err;
  const auto all = rows();
  EXPECT_EQ(all.size(), 11U);
  for (const auto& [name, part] : std::map<std::string, std::string>{{"mail", "is an e-mail"},
                                                                     {"pack", "is a ZIP archive"},
                                                                     {"paint", "is a BMP picture"},
                                                                     {"empty", "is empty"},
                                                                     {"nothing", "is an empty folder"},
                                                                     {"away", "leads out of the folder"},
                                                                     {"dangling", "is a link to nothing"},
                                                                     {"Thumbs", "Not a scan: Thumbs.db"},
                                                                     {"pipe", "is a pipe"}}) {
    ASSERT_TRUE(all.contains(name)) << name;
    EXPECT_EQ(all.at(name)["answer"]["kind"], "no_scan") << name;
    const std::string sentence = all.at(name)["answer"]["sentence"];
    EXPECT_EQ(sentence.rfind("Not a scan: ", 0), 0U) << sentence;
    EXPECT_NE(sentence.find(part), std::string::npos) << sentence;
    EXPECT_NE(ran.out.find(name + ": Not a scan: "), std::string::npos) << ran.out;
  }
  EXPECT_EQ(all.at("torn")["answer"]["kind"], "could_not_look");
  EXPECT_TRUE(all.at("good")["scans"][0]["analysed"].get<bool>());
  EXPECT_EQ(all.at("good")["left_out"][0]["file"], "good/notes.txt");
  EXPECT_TRUE(all.at("good")["complete"].get<bool>());
  const std::string count =
      "11 in: 1 case judged, 10 not: 1 whose scans could not be analysed, 9 without a scan. Left out of "
      "cases that "
      "have scans: 0 copies, 1 input that is no scan.";
  EXPECT_NE(ran.out.find('\n' + count), std::string::npos) << ran.out;
  EXPECT_NE(slurp(out_ + "/overview.html").find(count), std::string::npos);
  EXPECT_EQ(std::system(("/usr/bin/python3 " + source_path("tests/cli/validate.py") + " triage " + out_ +
                         "/cases.jsonl")
                            .c_str()),
            0);
}

// Only what a file manager left behind is nobody's letter.
TEST_F(Accounts, LitterOfADesktopIsToldAndFailsNothing) {
  put("good.png", scan());
  put("._good.png", std::string("\0\x05\x16\x07\0\x02", 6));
  put(".DS_Store", std::string("\0\0\0\x01"
                               "Bud1",
                               8));
  const Ran ran = judged();
  EXPECT_EQ(ran.status, 0) << ran.out << ran.err;
  EXPECT_NE(ran.out.find("is a note of the file manager's"), std::string::npos) << ran.out;
}

TEST_F(Accounts, OneFolderThatCannotBeReadDoesNotEndTheRun) {
  if (geteuid() == 0) GTEST_SKIP() << "root reads everything: run this test as another user";
  put("good.png", scan());
  put("locked/scan.png", scan());
  fs::permissions(inbox_ + "/locked", fs::perms::none);
  const Ran ran = judged();
  EXPECT_EQ(ran.status, 1) << ran.err;
  EXPECT_EQ(rows().size(), 2U);
  EXPECT_NE(rows().at("locked")["answer"]["sentence"].get<std::string>().find("cannot be read"),
            std::string::npos);
}

TEST_F(Accounts, TheResultsAreNotJudgedAsCases) {
  put("good.png", scan());
  const Ran ran = tool("triage", {"--out", inbox_ + "/out", inbox_});
  EXPECT_EQ(ran.status, 2);
  EXPECT_NE(ran.err.find("name a folder outside it"), std::string::npos) << ran.err;
  EXPECT_EQ(tool("triage", {"--out", inbox_, "--force", inbox_}).status, 2);
  EXPECT_TRUE(fs::exists(inbox_ + "/good.png"));
}

// Whether a case was judged again: its report's time.
class Again : public Accounts {
 protected:
  [[nodiscard]] std::string report() const {
    return out_ + "/" + rows().begin()->second["report"].get<std::string>();
  }
  [[nodiscard]] std::string key() const { return rows().begin()->second["key"]; }
  void age() const {
    fs::last_write_time(report(), fs::file_time_type::clock::now() - std::chrono::hours(9));
  }
  [[nodiscard]] bool was_made_again() const {
    return fs::last_write_time(report()) > fs::file_time_type::clock::now() - std::chrono::hours(1);
  }
};

TEST_F(Again, ADoneCaseIsLeftAloneAndADeletedReportIsMadeAgain) {
  put("good.png", scan());
  ASSERT_EQ(judged().status, 0);
  const std::string first = slurp(report());
  age();
  ASSERT_EQ(judged().status, 0);
  EXPECT_FALSE(was_made_again());
  fs::remove(report());
  ASSERT_EQ(judged().status, 0);
  EXPECT_TRUE(slurp(report()) == first);
}

TEST_F(Again, LimitsBelongToTheKey) {
  put("good.png", scan());
  EXPECT_EQ(judged({"--most-megapixels", "0.1"}).status, 1);
  const std::string strict = key();
  age();
  EXPECT_EQ(judged({"--most-megapixels", "0.1"}).status, 1);
  EXPECT_FALSE(was_made_again());
  EXPECT_EQ(judged().status, 0) << "raised limits must not be answered with what the lower ones said";
  EXPECT_NE(key(), strict);
}

TEST_F(Again, OtherCornersAreAnotherTriage) {
  put("good.png", scan());
  ASSERT_NE(judged({"--corners", "1,1:90,1:90,90:1,90"}).status, 2);
  const Ran other = judged({"--corners", "2,2:90,1:90,90:1,90"});
  EXPECT_EQ(other.status, 2);
  EXPECT_NE(other.err.find("another layout, chart, option"), std::string::npos) << other.err;
  EXPECT_EQ(judged({"--false-alarms", "0.5", "--corners", "1,1:90,1:90,90:1,90"}).status, 2);
}

// A scan that was given up for want of time is tried again; it was never a fault of the scan. At 1200 dpi: a
// quick machine reads one of 600 dpi in the shortest time that can be asked for.
TEST_F(Again, WhatFailedForWantOfTimeIsNeverDone) {
  ASSERT_EQ(tool("simulate", {"--dpi", "1200", "--out", inbox_ + "/slow.png"}).status, 0);
  ASSERT_EQ(judged({"--most-seconds", "0.1"}).status, 1);
  ASSERT_NE(rows().begin()->second.dump().find("was given up"), std::string::npos) << rows().begin()->second;
  EXPECT_FALSE(rows().begin()->second["settled"].get<bool>());
  age();
  EXPECT_EQ(judged({"--most-seconds", "0.1"}).status, 1);
  EXPECT_TRUE(was_made_again());
}

// The second run cleared the first one's half-written files away before it saw that somebody was at work.
TEST_F(Again, ASecondRunTouchesNothingOfTheFirst) {
  put("good.png", scan());
  ASSERT_EQ(judged().status, 0);
  const std::string part = out_ + "/reports/.half.0011.part";
  std::ofstream(part) << "half";
  const int folder = open(out_.c_str(), O_RDONLY | O_DIRECTORY);
  ASSERT_EQ(flock(folder, LOCK_EX | LOCK_NB), 0);
  for (const Words& words : {Words{}, Words{"--force"}}) {
    const Ran ran = judged(words);
    EXPECT_EQ(ran.status, 2);
    EXPECT_NE(ran.err.find("another triage"), std::string::npos) << ran.err;
    EXPECT_EQ(slurp(part), "half");
    EXPECT_TRUE(fs::exists(out_ + "/cases.jsonl"));
    EXPECT_TRUE(fs::exists(out_ + "/part.json"));
  }
  close(folder);
  ASSERT_EQ(judged().status, 0);
  EXPECT_FALSE(fs::exists(part));
}

// Two machines' sheets in one customer's folder: QA must not pass them, nobody be sent to a head.
TEST_F(Accounts, SheetsOfTwoMachinesAreMixedAndAtTheTop) {
  const auto sheet = [&](const std::string& name, const Words& more) {
    Words words{"--dpi", "300", "--out", inbox_ + "/" + name};
    words.insert(words.end(), more.begin(), more.end());
    ASSERT_EQ(tool("simulate", words).status, 0);
  };
  sheet("u-1.png", {"--residue", "3:left:faceplate:1"});
  sheet("u-2.png", {"--seed", "2"});
  sheet("v-1.png", {"--residue", "2:left:faceplate:1", "--seed", "3"});
  EXPECT_NE(judged().status, 2);
  std::istringstream text(slurp(out_ + "/cases.jsonl"));
  std::string line;
  std::getline(text, line);
  const Json first = Json::parse(line);
  EXPECT_EQ(first["case"], "u");
  EXPECT_EQ(first["answer"]["kind"], "mixed") << line;
  EXPECT_TRUE(first["target"].is_null());
  EXPECT_EQ(slurp(out_ + "/" + first["report"].get<std::string>()).find("Clean head"), std::string::npos);
  const std::string limits = at_ + "/limits.toml";
  std::ofstream(limits) << "schema = \"scrapetrace.limits/1\"\nname = \"loose\"\n[streak]\nloss_max = 0.99\n";
  const Ran accept = tool("accept", {"--limits", limits, inbox_ + "/u-1.png", inbox_ + "/u-2.png"});
  EXPECT_EQ(accept.status, 4) << accept.out;
  EXPECT_NE(accept.out.find("the scans are mixed"), std::string::npos) << accept.out;
}

}  // namespace
}  // namespace scrapetrace::cli
