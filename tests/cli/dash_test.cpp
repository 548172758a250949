// "-" for standard input and output, through the real binary and a shell.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");
const std::string kMachine = " --layout '" + kLayout + "' --chart '" + kChart + "' ";

Ran shell(const std::string& words, const std::string& input) {
  const std::string folder = scratch() + "/tmp";
  fs::create_directories(folder);
  const std::string out = scratch() + "/out";
  const std::string err = scratch() + "/err";
  const int status = std::system(("TMPDIR='" + folder + "' " + SCRAPETRACE_BINARY + " " + words + " < '" +
                                  input + "' > '" + out + "' 2> '" + err + "'")
                                     .c_str());
  EXPECT_TRUE(fs::is_empty(folder)) << "left behind by " << words;
  return {WEXITSTATUS(status), slurp(out), slurp(err)};
}

std::string rendered(const std::string& seed) {
  std::string scan = scratch() + "/sheet" + seed + ".png";
  const Ran ran = run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--residue",
                            "3:left:faceplate:1", "--dpi", "300", "--seed", seed, "--out", scan});
  EXPECT_EQ(ran.status, 0) << ran.err;
  return scan;
}

const std::string& sheet() {
  static const std::string path = rendered("1");
  return path;
}

TEST(Dash, ReadsAScanAndWritesJson) {
  const Ran ran = shell("locate" + kMachine + "--json - -", sheet());
  ASSERT_EQ(ran.status, 0) << ran.err;
  const Json found = Json::parse(ran.out);
  EXPECT_EQ(found["quality"][0]["file"], "standard input");
  EXPECT_EQ(found["inputs"][2]["file"], "standard input");
  Json named =
      Json::parse(run_tool({"locate", "--layout", kLayout, "--chart", kChart, "--json", "-", sheet()}).out);
  for (const char* part : {"quality", "registration"}) named[part][0]["file"] = "standard input";
  named["inputs"][2]["file"] = "standard input";
  EXPECT_EQ(found, named);
}

TEST(Dash, ReadsScansOfEveryCommandThatJudges) {
  const Ran verdict = shell(
      "accept" + kMachine + "--limits '" + source_path("fixtures/limits/proof_first_class.toml") + "' -",
      sheet());
  EXPECT_EQ(verdict.status, 3) << verdict.err;
  EXPECT_NE(verdict.out.find("standard input"), std::string::npos);
  const Ran page = shell(
      "recheck" + kMachine + "--before '" + sheet() + "' --after - --cleaned 3:left --html -", rendered("2"));
  EXPECT_EQ(page.status, 0) << page.err;
  EXPECT_EQ(page.out.rfind("<!DOCTYPE html>", 0), 0U);
  EXPECT_NE(page.out.find("standard input"), std::string::npos);
  EXPECT_EQ(page.out.find(scratch() + "/tmp"), std::string::npos);  // where it was kept is nobody's business
}

TEST(Dash, ReadsALayoutAndNamesItInProblems) {
  const Ran good = shell("layout -", kLayout);
  EXPECT_EQ(good.status, 0) << good.err;
  EXPECT_EQ(good.out, run_tool({"layout", kLayout}).out);
  const Ran bad = shell("layout -", source_path("fixtures/bad_layouts/travel_two.toml"));
  EXPECT_EQ(bad.status, 2);
  EXPECT_NE(bad.err.find("standard input:"), std::string::npos) << bad.err;
}

TEST(Dash, IsNoTwoInputsAndNoTwoOutputs) {
  const Ran both = shell("locate --layout - --chart '" + kChart + "' -", kLayout);
  EXPECT_NE(both.status, 0);
  EXPECT_NE((both.err + both.out).find("is given for two inputs"), std::string::npos) << both.err << both.out;
  for (const char* command : {"locate", "accept", "recheck"}) {
    const Ran out = run_tool({command, "--layout", kLayout, "--json", "-", "--html", "-", sheet()});
    EXPECT_EQ(out.status, 2);
    EXPECT_TRUE(out.out.empty()) << command;
  }
}

TEST(Dash, SaysWhatIsWrongWithWhatCameIn) {
  const Ran broken = shell("locate" + kMachine + "-", kLayout);
  EXPECT_EQ(broken.status, 1);
  EXPECT_NE(broken.out.find("standard input"), std::string::npos) << broken.out;
  EXPECT_EQ(broken.out.find(scratch() + "/tmp"), std::string::npos) << broken.out;
}

TEST(Dash, WritesWhatOtherCommandsMake) {
  const Ran chart = run_tool({"page", "--layout", kLayout, "--sheet", "a4", "--chart", "-"});
  EXPECT_EQ(chart.status, 0) << chart.err;
  EXPECT_NE(chart.out.find("schema = \"scrapetrace.chart/1\""), std::string::npos);
  EXPECT_EQ(chart.out.find("No ink of this page"), std::string::npos);
  const Ran truth = run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--dpi", "150", "--out",
                              scratch() + "/truth.png", "--truth", "-"});
  EXPECT_EQ(truth.status, 0) << truth.err;
  EXPECT_TRUE(Json::accept(truth.out));
}

TEST(Dash, WritesPicturesAndDocuments) {
  for (const auto& [option, begins] : std::vector<std::pair<std::string, std::string>>{
           {"--pdf", "%PDF-"}, {"--strip", "%PDF-"}, {"--tiff", std::string("II*\0", 4)}}) {
    const Ran page = run_tool({"page", "--layout", kLayout, "--sheet", "a4", "--dpi", "50", option, "-"});
    EXPECT_EQ(page.status, 0) << page.err;
    EXPECT_EQ(page.out.rfind(begins, 0), 0U) << option;
  }
  const Ran picture = shell("locate" + kMachine + "--picture - -", sheet());
  EXPECT_EQ(picture.status, 0) << picture.err;
  EXPECT_EQ(picture.out.rfind("<?xml", 0), 0U) << picture.out.substr(0, 100);
  EXPECT_EQ(picture.out.find("What to do"), std::string::npos);  // the drawing alone
  const Ran drawing = run_tool({"layout", kLayout, "--svg", "-"});
  EXPECT_EQ(drawing.out.rfind("<?xml", 0), 0U) << drawing.out.substr(0, 100);
  const Ran both = run_tool({"page", "--layout", kLayout, "--sheet", "a4", "--pdf", "-", "--chart", "-"});
  EXPECT_EQ(both.status, 2);
  EXPECT_NE(both.err.find("cannot both go to standard output"), std::string::npos) << both.err;
  EXPECT_TRUE(both.out.empty());
}

// A scan goes from the press to the desk without a file between them, the same one that a file would hold.
TEST(Dash, HandsAScanFromOneCommandToAnother) {
  const std::string simulate = "simulate" + kMachine + "--residue 3:left:faceplate:1 --dpi 300 --out ";
  const std::string named = scratch() + "/named.tif";
  ASSERT_EQ(shell(simulate + "'" + named + "'", "/dev/null").status, 0);
  const Ran printed = shell(simulate + "-", "/dev/null");
  ASSERT_EQ(printed.status, 0) << printed.err;
  EXPECT_TRUE(printed.out == slurp(named));
  const std::string piped = scratch() + "/piped.json";
  EXPECT_EQ(std::system((std::string(SCRAPETRACE_BINARY) + ' ' + simulate + "- | " + SCRAPETRACE_BINARY +
                         " locate" + kMachine + "--json '" + piped + "' - > /dev/null")
                            .c_str()),
            0);
  EXPECT_EQ(Json::parse(slurp(piped))["targets"][0]["head"], "3");
}

}  // namespace
}  // namespace scrapetrace::cli
