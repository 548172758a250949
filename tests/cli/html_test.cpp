// The HTML report through the real binary, judged from outside: html5lib (an implementation of the WHATWG
// parsing algorithm) for its syntax, headless Chromium for what it does, poppler for its print.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");

std::string shell(const std::string& command, int& status) {
  std::string out;
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return out;
  char piece[4096];
  for (std::size_t n = 0; (n = std::fread(piece, 1, sizeof piece, pipe)) > 0;) out.append(piece, n);
  status = pclose(pipe);
  return out;
}

// A sheet with residue and, in its name, all that markup must escape.
const std::string& sheet() {
  static const std::string path = [] {
    const std::string scan = scratch() + "/<b>&\"'scan.png";
    const Ran ran = run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--residue",
                              "3:left:faceplate:3", "--dpi", "300", "--out", scan});
    EXPECT_EQ(ran.status, 0) << ran.err;
    return scan;
  }();
  return path;
}

std::string report_with(std::vector<std::string> more) {
  std::vector<std::string> words{"locate", "--layout", kLayout, "--chart", kChart, "--html", "-", sheet()};
  words.insert(words.end(), more.begin(), more.end());
  const Ran ran = run_tool(words);
  EXPECT_EQ(ran.status, 0) << ran.err;
  return ran.out;
}

const std::string& report_file() {
  static const std::string path = [] {
    const std::string file = scratch() + "/report.html";
    const Ran ran = run_tool({"locate", "--layout", kLayout, "--chart", kChart, "--html", file, sheet()});
    EXPECT_EQ(ran.status, 0) << ran.err;
    return file;
  }();
  return path;
}

// The number of faults that html5lib finds.
std::string faults_of(const std::string& file) {
  int status = -1;
  const std::string faults = shell(
      "/usr/bin/python3 -c 'import sys, html5lib; p = html5lib.HTMLParser(); "
      "p.parse(open(sys.argv[1], \"rb\")); print(len(p.errors))' '" +
          file + "'",
      status);
  EXPECT_EQ(status, 0);
  return faults;
}

// What a browser made of the page; one that asks something of the network, complains, has a dead link or is
// wider than a phone fails here.
Json browsed(const std::string& file) {
  int status = -1;
  const std::string said = shell("/usr/bin/python3 '" + source_path("tests/cli/browser_check.py") + "' '" +
                                     file + "' '" + scratch() + "'",
                                 status);
  EXPECT_EQ(status, 0) << said;
  if (status != 0) return {};
  Json found = Json::parse(said);
  EXPECT_EQ(found["headings"].size(), 1U);
  EXPECT_EQ(found["unnamed_pictures"], 0);
  EXPECT_TRUE(found["dead_links"].empty()) << found["dead_links"];
  EXPECT_EQ(found["requests"].size(), 1U) << found["requests"];  // the file itself
  EXPECT_TRUE(found["complaints"].empty()) << found["complaints"];
  EXPECT_LE(found["phone_overflow_px"], 0);
  EXPECT_EQ(found["rows_not_heard"], 0);
  return found;
}

void expect_links_both_ways(const Json& found) {
  EXPECT_EQ(found["head_before"], "none");
  EXPECT_NE(found["head_lit_by_streak"], "none");
  EXPECT_EQ(found["streak_before"], "none");
  EXPECT_NE(found["streak_lit_by_head"], "none");
}

std::string printed() {
  int status = -1;
  const std::string text = shell("pdftotext '" + scratch() + "/page.pdf' -", status);
  EXPECT_EQ(status, 0);
  return text;
}

TEST(Html, IsOnStandardOutputAloneWithADash) {
  const std::string page = report_with({});
  EXPECT_EQ(page.find("<!DOCTYPE html>"), 0U);
  EXPECT_EQ(page, report_with({}));  // same input, same bytes
}

TEST(Html, EscapesWhatFilesAreCalled) {
  const std::string page = slurp(report_file());
  EXPECT_EQ(page.find("<b>&\"'scan"), std::string::npos);
  EXPECT_NE(page.find("&lt;b&gt;&amp;&quot;'scan.png"), std::string::npos);
  EXPECT_EQ(page.find("<script"), std::string::npos);
}

TEST(Html, HasNoSyntaxErrors) {
  EXPECT_EQ(faults_of(report_file()), "0\n");
}

TEST(Html, NamesTheScanByItsHash) {
  int status = -1;
  // Read from standard input: the name holds quotes.
  const std::string copy = scratch() + "/copy.png";
  fs::copy_file(sheet(), copy, fs::copy_options::overwrite_existing);
  const std::string sum = shell("sha256sum < '" + copy + "'", status).substr(0, 64);
  ASSERT_EQ(status, 0);
  EXPECT_NE(slurp(report_file()).find(sum), std::string::npos);
}

TEST(Html, WorksInABrowserAndAsksNothingOfTheNetwork) {
  const Json found = browsed(report_file());
  EXPECT_NE(found["title"].get<std::string>().find("Clean head 3, left side, faceplate"), std::string::npos);
  expect_links_both_ways(found);
  EXPECT_GT(fs::file_size(scratch() + "/page.png"), 10000U);
  const std::string text = printed();
  for (const char* part :
       {"Caution: before a cover comes off", "NEEDS CLEANING", "streak 1 at ", "none worth naming"})
    EXPECT_NE(text.find(part), std::string::npos) << part;
  for (const char* torn : {"Ca\n", "res\n"})  // words stay whole in the narrowest table
    EXPECT_EQ(text.find(torn), std::string::npos) << text;
}

// The same machine after a cleaning that left a third of it.
const std::string& sheet_after() {
  static const std::string path = [] {
    const std::string scenario = scratch() + "/weak.toml";
    std::ofstream(scenario) << "schema = \"scrapetrace.scenario/1\"\n[[residue]]\nhead = \"3\"\nside = "
                               "\"left\"\nsurface = \"faceplate\"\noutward_mm = 3.0\ncontact = "
                               "\"upstream\"\nwidth_mm = 1.5\nloss = 0.05\n";
    const std::string scan = scratch() + "/<i>after.png";
    const Ran ran = run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--scenario", scenario,
                              "--seed", "8", "--dpi", "300", "--out", scan});
    EXPECT_EQ(ran.status, 0) << ran.err;
    return scan;
  }();
  return path;
}

TEST(Html, OfARecheckShowsThePageBeforeAndAfter) {
  const std::string file = scratch() + "/recheck.html";
  const Ran ran = run_tool({"recheck", "--layout", kLayout, "--chart", kChart, "--before", sheet(), "--after",
                            sheet_after(), "--cleaned", "3:left", "--html", file});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_EQ(faults_of(file), "0\n");
  const Json found = browsed(file);
  EXPECT_EQ(found["title"].get<std::string>().rfind("Clean head 3, left side, faceplate", 0), 0U);
  expect_links_both_ways(found);
  std::string text = printed();
  std::replace(text.begin(), text.end(), '\n', ' ');  // lines break where the page is full
  for (const char* part : {"Caution: before a cover comes off", "Before: ", "After: ", "fainter by ",
                           "Ink missing before", "Loosened ink", "SHA-256", "--cleaned 3:left"})
    EXPECT_NE(text.find(part), std::string::npos) << part;
  const std::string page = slurp(file);
  EXPECT_EQ(page.find("<i>after"), std::string::npos);
  EXPECT_EQ(page.find("<script"), std::string::npos);
}

TEST(Html, OfAVerdictHoldsEveryLimitAgainstWhatWasMeasured) {
  const std::string file = scratch() + "/verdict.html";
  const Ran ran = run_tool({"accept", "--layout", kLayout, "--chart", kChart, "--limits",
                            source_path("fixtures/limits/proof_first_class.toml"), "--html", file, sheet()});
  ASSERT_EQ(ran.status, 3) << ran.err;
  EXPECT_EQ(faults_of(file), "0\n");
  const Json found = browsed(file);
  EXPECT_EQ(found["title"].get<std::string>().rfind("Fail: ", 0), 0U);
  const std::string text = printed();
  for (const char* part : {"FAIL", "most ink missing in a streak", "standard deviations", "widest streak",
                           "To repeat this", "limits"})
    EXPECT_NE(text.find(part), std::string::npos) << part;
  EXPECT_EQ(text.find("Clean head"), std::string::npos);  // it judges, and sends nobody to a machine
}

TEST(Html, OfRecheckAndVerdictSpeaksInchesWhenAsked) {
  const Ran recheck = run_tool({"recheck", "--layout", kLayout, "--chart", kChart, "--before", sheet(),
                                "--after", sheet_after(), "--cleaned", "3:left", "--units", "inch"});
  EXPECT_NE(recheck.out.find(" in from the left"), std::string::npos) << recheck.out;
  const Ran verdict = run_tool({"accept", "--layout", kLayout, "--chart", kChart, "--limits",
                                source_path("fixtures/limits/proof_first_class.toml"), "--html", "-",
                                "--units", "inch", sheet()});
  EXPECT_EQ(verdict.out.rfind("<!DOCTYPE html>", 0), 0U);
  EXPECT_NE(verdict.out.find(" in left"), std::string::npos);
  EXPECT_EQ(verdict.out.find(" mm left"), std::string::npos);
}

TEST(Html, OfAFittedLayoutSaysWhichKeysArePlain) {
  const std::string file = scratch() + "/fit.html";
  const Ran ran = run_tool({"layout", "fit", "--layout", kLayout, "--seen",
                            source_path("fixtures/places/tavvick_bench.toml"), "--html", file});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_EQ(faults_of(file), "0\n");
  browsed(file);
  std::string text = printed();
  std::replace(text.begin(), text.end(), '\n', ' ');  // lines break where the page is full
  for (const char* part : {"keys of 12 determined", "transfer.scale_cross", "Not determined",
                           "head 2, jet 12", "degrees of freedom", "SHA-256"})
    EXPECT_NE(text.find(part), std::string::npos) << part;
}

TEST(Html, OfACasebookTellsHowAUnitStands) {
  const std::string book = scratch() + "/book.sqlite";
  fs::remove(book);
  for (const char* note : {"<b>first</b>", "second"}) {
    const Ran added = run_tool({"case", "add", "--book", book, "--unit", "<i>W-17", "--who", "Ona",
                                "--layout", kLayout, "--chart", kChart, "--scan", sheet(), "--note", note});
    ASSERT_EQ(added.status, 0) << added.err;
  }
  const std::string file = scratch() + "/book.html";
  ASSERT_EQ(run_tool({"case", "export", "--book", book, "--format", "html", "--out", file}).status, 0);
  EXPECT_EQ(faults_of(file), "0\n");
  browsed(file);
  const std::string text = printed();
  for (const char* part : {"Unit <i>W-17: 4 records", "CHAIN WHOLE", "<b>first</b>", "No finding yet"})
    EXPECT_NE(text.find(part), std::string::npos) << part;
}

TEST(Html, OfATriageGroupsCasesAndLinksTheirReports) {
  const std::string inbox = scratch() + "/inbox";
  const std::string out = scratch() + "/desk";
  fs::create_directories(inbox);
  fs::copy_file(sheet(), inbox + "/<i>one-1.png", fs::copy_options::overwrite_existing);
  std::ofstream(inbox + "/two-1.png") << "no picture";
  const Ran ran =
      run_tool({"triage", "--layout", kLayout, "--chart", kChart, "--out", out, "--force", inbox});
  EXPECT_EQ(ran.status, 1) << ran.err;
  const std::string page = slurp(out + "/overview.html");
  EXPECT_EQ(faults_of(out + "/overview.html"), "0\n");
  EXPECT_EQ(page.find("<i>one"), std::string::npos);
  const auto clean = page.find("id=\"group-1\"");
  const auto again = page.find("id=\"group-4\"");  // could not look
  ASSERT_NE(again, std::string::npos);
  EXPECT_LT(clean, page.find("&lt;i&gt;one"));
  EXPECT_LT(page.find("&lt;i&gt;one"), again);
  EXPECT_NE(page.find("To send back: Please scan two again", again), std::string::npos);
  const Json found = browsed(out + "/overview.html");
  EXPECT_EQ(found["title"], "2 cases, worst and surest first");
  const std::vector<std::string> links = found["links"];
  for (const auto& entry : fs::directory_iterator(out + "/reports")) {
    EXPECT_EQ(std::count(links.begin(), links.end(), "reports/" + entry.path().filename().string()), 1);
    browsed(entry.path().string());
  }
  const std::string text = printed();
  EXPECT_NE(text.find("Caution: before a cover comes off"), std::string::npos) << text;
}

TEST(Html, SpeaksInchesWhenAsked) {
  const std::string page = report_with({"--units", "inch"});
  EXPECT_NE(page.find(" in from the sheet"), std::string::npos);
  EXPECT_EQ(page.find(" mm from the sheet"), std::string::npos);
}

TEST(Html, RefusesUnitsItDoesNotKnowAndTwoUsesOfStandardOutput) {
  const Ran units = run_tool({"locate", "--layout", kLayout, "--units", "feet", sheet()});
  EXPECT_EQ(units.status, 2);
  EXPECT_NE(units.err.find("--units must be mm or inch"), std::string::npos);
  const Ran both = run_tool({"locate", "--layout", kLayout, "--json", "-", "--html", "-", sheet()});
  EXPECT_EQ(both.status, 2);
  EXPECT_NE(both.err.find("cannot both go to standard output"), std::string::npos);
}

}  // namespace
}  // namespace scrapetrace::cli
