// The casebook's command line: what it refuses, what it keeps.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

std::string fresh_book() {
  static int n = 0;
  return scratch() + "/book" + std::to_string(++n) + ".sqlite";
}

Ran add(const std::string& book, std::vector<std::string> more) {
  std::vector<std::string> words{"case", "add",   "--book", book,   "--unit",
                                 "W-17", "--who", "Ona",    "--at", "2025-03-01T14:05:09Z"};
  words.insert(words.end(), more.begin(), more.end());
  return run_tool(words);
}

TEST(Case, TheSameRecordsHaveTheSameHash) {
  const Ran a = add(fresh_book(), {"--note", "first"});
  const Ran b = add(fresh_book(), {"--note", "first"});
  EXPECT_EQ(a.status, 0) << a.err;
  EXPECT_EQ(a.out, b.out);
}

// A unit's name from a mail must not drive the terminal of whoever keeps the book.
TEST(Case, NothingInANameDrivesTheTerminal) {
  const std::string book = fresh_book();
  const std::string name = "W\x1b]0;owned\x07\xE2\x80\xAE";
  const Ran added = run_tool({"case", "add", "--book", book, "--unit", name, "--who", name, "--note", name});
  EXPECT_EQ(added.status, 0) << added.err;
  for (const auto& said : {added.out, run_tool({"case", "show", "--book", book}).out,
                           run_tool({"case", "export", "--book", book, "--format", "csv"}).out}) {
    EXPECT_TRUE(holds(said, "W\\x1B]0;owned\\x07\\xE2\\x80\\xAE")) << said;
    EXPECT_EQ(said.find('\x1b'), std::string::npos) << said;
  }
}

TEST(Case, RefusesWhatItCannotKeep) {
  const std::string book = fresh_book();
  for (const auto& [more, reason] :
       {std::pair<std::vector<std::string>, std::string>{{}, "nothing to add"},
        {{"--finding", source_path("README.md")}, "is not JSON"},
        {{"--scan", "/no/such.png"}, "cannot be read"},
        {{"--cleaned", "3:left"}, "--cleaned needs --layout"},
        {{"--layout", source_path("geometry/tavvick.toml"), "--cleaned", "9:left"}, "no head is called"}}) {
    const Ran ran = add(book, more);
    EXPECT_EQ(ran.status, 2) << reason;
    EXPECT_TRUE(holds(ran.err, reason)) << ran.err;
  }
  EXPECT_FALSE(std::filesystem::exists(book));
}

TEST(Case, RefusesAnotherReportThanIsAskedFor) {
  const std::string json = scratch() + "/other.json";
  std::ofstream(json) << R"({"schema": "scrapetrace.accept/1"})";
  const Ran ran = add(fresh_book(), {"--finding", json});
  EXPECT_EQ(ran.status, 2);
  EXPECT_TRUE(holds(ran.err, "\"scrapetrace.locate/1\" is wanted")) << ran.err;
}

TEST(Case, OneBadPartKeepsAllOut) {
  const std::string book = fresh_book();
  EXPECT_EQ(add(book, {"--note", "kept"}).status, 0);
  EXPECT_EQ(add(book, {"--note", "not kept", "--scan", "/no/such.png"}).status, 2);
  EXPECT_TRUE(holds(run_tool({"case", "verify", "--book", book}).out, "Whole: 1 record,"));
}

TEST(Case, VerifyTellsABookThatWasCutShort) {
  const std::string book = fresh_book();
  add(book, {"--note", "first"});
  const Ran ran = run_tool({"case", "verify", "--book", book, "--expect", std::string(64, 'a')});
  EXPECT_EQ(ran.status, 3);
  EXPECT_TRUE(holds(ran.out, "Broken at record 2")) << ran.out;
}

TEST(Case, HtmlEscapesWhatPeopleWrite) {
  const std::string book = fresh_book();
  add(book, {"--note", "<script>alert(1)</script>"});
  const Ran ran = run_tool({"case", "export", "--book", book, "--format", "html"});
  EXPECT_EQ(ran.status, 0);
  EXPECT_FALSE(holds(ran.out, "<script")) << ran.out;
}

// The fragment takes the place of the layout's zones, and the layout stays one that every command accepts.
TEST(Case, PriorsAreAFragmentOfALayout) {
  const std::string book = fresh_book();
  add(book, {"--note", "opened"});
  const std::string start = source_path("geometry/hobdrel.toml");
  const Ran priors = run_tool({"case", "priors", "--book", book, "--layout", start});
  ASSERT_EQ(priors.status, 0) << priors.err;
  EXPECT_TRUE(holds(priors.out, "prior between 0.104 and 0.652 (95 %)")) << priors.out;
  std::string text = slurp(start);
  const auto zones = text.find("[[zone]]");
  ASSERT_NE(zones, std::string::npos);
  const std::string file = scratch() + "/with_priors.toml";
  std::ofstream(file) << text.substr(0, zones) << priors.out;
  const Ran checked = run_tool({"layout", file});
  EXPECT_EQ(checked.status, 0) << checked.err;
  // No closed case yet: the same zones, priors and efforts as before.
  const auto without_hash = [](const std::string& out) { return out.substr(0, out.find("SHA-256")); };
  EXPECT_EQ(without_hash(checked.out), without_hash(run_tool({"layout", start}).out));
}

// Somebody with the tools of SQLite changes a record: verify says which, and no priors are made of it.
TEST(Case, PriorsAreNotMadeOfABookThatWasChanged) {
  const std::string book = fresh_book();
  add(book, {"--note", "first"});
  add(book, {"--note", "second"});
  const std::string change =
      "/usr/bin/python3 -c \"import sqlite3, sys; book = sqlite3.connect(sys.argv[1]); "
      "[book.execute('drop trigger ' + name) for name, in book.execute(\\\"select name from sqlite_master "
      "where "
      "type = 'trigger'\\\").fetchall()]; book.execute(\\\"update record set who = 'Nobody' where number = "
      "2\\\"); book.commit()\" '";
  ASSERT_EQ(std::system((change + book + "'").c_str()), 0);
  const Ran verified = run_tool({"case", "verify", "--book", book});
  EXPECT_EQ(verified.status, 3);
  EXPECT_TRUE(holds(verified.out, "Broken at record 2")) << verified.out;
  const Ran priors =
      run_tool({"case", "priors", "--book", book, "--layout", source_path("geometry/hobdrel.toml")});
  EXPECT_EQ(priors.status, 2) << priors.out;
  EXPECT_TRUE(holds(priors.err, "record 2 is not as it was written")) << priors.err;
}

TEST(Case, TakesNoTimeThatThereIsNot) {
  for (const char* wrong :
       {"yesterday", "2025-02-30T10:00:00Z", "2025-03-01T24:00:00Z", "2025-03-01 14:05:09Z"}) {
    const Ran ran = run_tool(
        {"case", "add", "--book", fresh_book(), "--unit", "W", "--who", "Ona", "--at", wrong, "--note", "x"});
    EXPECT_EQ(ran.status, 2) << wrong;
    EXPECT_NE(
        ran.err.find(std::string("--at must be a time in UTC, as 2025-03-01T14:05:09Z, not \"") + wrong),
        std::string::npos)
        << ran.err;
  }
}

TEST(Case, SaysWhatIsMissing) {
  EXPECT_TRUE(holds(run_tool({"case"}).err, "say what to do"));
  EXPECT_TRUE(holds(run_tool({"case", "shw", "--book", "b"}).err, "Did you mean \"show\""));
  EXPECT_TRUE(holds(run_tool({"case", "show"}).err, "--book is missing"));
  EXPECT_TRUE(holds(run_tool({"case", "show", "--book", "/no/such"}).err, "does not exist"));
}

}  // namespace
}  // namespace scrapetrace::cli
