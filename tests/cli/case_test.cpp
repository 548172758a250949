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
  const std::string script = scratch() + "/change.py";
  std::ofstream(script) << "import sqlite3, sys\n"
                           "book = sqlite3.connect(sys.argv[1])\n"
                           "triggers = book.execute('select name, sql from sqlite_master where type = "
                           "\"trigger\"').fetchall()\n"
                           "for name, _ in triggers: book.execute('drop trigger ' + name)\n"
                           "book.execute('update record set who = \"Nobody\" where number = 2')\n"
                           "for _, sql in triggers: book.execute(sql)\n"
                           "book.commit()\n";
  const std::string change = "/usr/bin/python3 '" + script + "' '";
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

// A sheet with a plain scrape, and what accept says of it.
struct Judgement {
  std::string scan = scratch() + "/judged.png";
  std::string limits = source_path("fixtures/limits/proof_first_class.toml");
  std::vector<std::string> machine{"--layout", source_path("geometry/tavvick.toml"), "--chart",
                                   source_path("fixtures/charts/tavvick_strip.toml")};
  nlohmann::json verdict;
  Judgement() {
    std::vector<std::string> print{"simulate", "--residue", "3:left:faceplate:3", "--dpi", "300", "--force",
                                   "--out",    scan};
    print.insert(print.end(), machine.begin(), machine.end());
    EXPECT_EQ(run_tool(print).status, 0);
    std::vector<std::string> judge{"accept", "--limits", limits, "--json", "-", scan};
    judge.insert(judge.end(), machine.begin(), machine.end());
    const Ran ran = run_tool(judge);
    EXPECT_EQ(ran.status, 3) << ran.err;
    verdict = nlohmann::json::parse(ran.out);
  }
  static std::string file_of(const nlohmann::json& json) {
    const std::string file = scratch() + "/verdict.json";
    std::ofstream(file) << json.dump(2);
    return file;
  }
};
const Judgement& judgement() {
  static const Judgement kOne;
  return kOne;
}

// QA would find a pass in the history of a unit that failed.
TEST(Case, AForgedVerdictIsNotRecorded) {
  const auto& real = judgement().verdict;
  auto said = real;
  said["verdict"] = "pass";
  auto worded = said;
  worded["sentence"] = "Pass: within all limits of Proof, first class.";
  auto limits_too = worded;
  for (auto& limit : limits_too["limits"]) limit["verdict"] = "pass";
  auto sentence = real;
  sentence["sentence"] = "Pass: within all limits of Proof, first class.";
  auto unread = real;
  unread["quality"][0]["analysed"] = false;
  auto none = worded;
  none["limits"] = nlohmann::json::array();
  auto unknown = real;
  unknown["limits"].push_back(
      {{"limit", "mood"}, {"verdict", "pass"}, {"allowed", 1}, {"measured", 0}, {"sigma", 0}});
  auto no_numbers = limits_too;
  for (auto& limit : no_numbers["limits"]) limit.erase("measured");
  const std::string book = fresh_book();
  for (const auto& [forged, reason] :
       {std::pair{said, "its limits make \"fail\""}, std::pair{worded, "its limits make \"fail\""},
        std::pair{limits_too, "which its own numbers do not make"},
        std::pair{sentence, "its sentence does not begin"}, std::pair{unread, "counts other scans"},
        std::pair{none, "does not say whether its scans were analysed"}, std::pair{unknown, "does not know"},
        std::pair{no_numbers, "which its own numbers do not make"}}) {
    const Ran ran = add(book, {"--verdict", Judgement::file_of(forged)});
    EXPECT_EQ(ran.status, 2) << reason;
    EXPECT_TRUE(holds(ran.err, reason)) << ran.err;
  }
  EXPECT_FALSE(std::filesystem::exists(book));
}

TEST(Case, AVerdictFromAFileSaysSoAndWhetherTheBookHoldsItsScans) {
  const std::string book = fresh_book();
  const std::string file = Judgement::file_of(judgement().verdict);
  EXPECT_EQ(add(book, {"--verdict", file}).status, 0);
  EXPECT_EQ(add(book, {"--verdict", file, "--scan", judgement().scan}).status, 0);
  EXPECT_EQ(add(book, {"--verdict", file}).status, 0);
  const std::string shown = run_tool({"case", "export", "--book", book, "--unit", "W-17"}).out;
  const auto records = nlohmann::json::parse(shown)["records"];
  ASSERT_EQ(records.size(), 4U);
  const auto summary = [&](std::size_t i) { return records[i]["summary"].get<std::string>(); };
  EXPECT_TRUE(holds(summary(0), "NOT PROVEN: 1 of its 1 scan not in this book, as " + judgement().scan))
      << summary(0);
  for (const std::size_t i : {2U, 3U}) {
    EXPECT_TRUE(holds(summary(i), "[from the file " + file + "; its 1 scan is in this book]")) << summary(i);
  }
  // Another unit's scan proves nothing about this one.
  EXPECT_EQ(
      run_tool({"case", "add", "--book", book, "--unit", "W-18", "--who", "Ona", "--verdict", file}).status,
      0);
  EXPECT_TRUE(holds(run_tool({"case", "show", "--book", book, "--unit", "W-18"}).out, "NOT PROVEN"));
}

TEST(Case, AVerdictOfTheProgramsOwnIsTheOneThatAcceptGives) {
  const std::string book = fresh_book();
  const auto& it = judgement();
  std::vector<std::string> words{"--scan", it.scan, "--limits", it.limits};
  EXPECT_TRUE(holds(add(book, words).err, "--limits needs --layout"));
  words.insert(words.end(), it.machine.begin(), it.machine.end());
  const Ran ran = add(book, words);
  EXPECT_EQ(ran.status, 0) << ran.err;
  const auto record = nlohmann::json::parse(run_tool({"case", "export", "--book", book}).out)["records"][1];
  EXPECT_EQ(record["outcome"], "fail");
  EXPECT_EQ(record["summary"], it.verdict["sentence"]);
  EXPECT_EQ(record["body"], it.verdict);
}

TEST(Case, AUnitThatIsNotInTheBookIsNoEmptyHistory) {
  const std::string book = fresh_book();
  add(book, {"--note", "first"});
  const std::string out = scratch() + "/unknown.html";
  for (const char* action : {"show", "export"}) {
    const Ran ran = run_tool({"case", action, "--book", book, "--unit", "W-71"});
    EXPECT_EQ(ran.status, 2) << action;
    EXPECT_EQ(ran.out, "");
    EXPECT_TRUE(holds(ran.err, "has no record of the unit \"W-71\". Did you mean \"W-17\"?")) << ran.err;
  }
  EXPECT_EQ(run_tool({"case", "export", "--book", book, "--unit", "W-71", "--out", out}).status, 2);
  EXPECT_FALSE(std::filesystem::exists(out));
  EXPECT_EQ(run_tool({"case", "export", "--book", book, "--unit", "W-17"}).status, 0);
}

}  // namespace
}  // namespace scrapetrace::cli
