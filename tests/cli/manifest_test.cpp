// A triage of what a list names, as a desk would write it, through the real binary.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");

class Manifest : public testing::Test {
 protected:
  void SetUp() override {
    fs::create_directories(at_ + "/scans");
    fs::create_directories(at_ + "/elsewhere");
    for (const auto& [name, seed] : {std::pair{"a", "1"}, {"b", "2"}})
      ASSERT_EQ(run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--dpi", "150", "--seed", seed,
                          "--out", at_ + "/scans/" + name + "-1.png"})
                    .status,
                0);
    list("unit 1\tscans/a-1.png\nunit 2\tscans/b-1.png\n");
  }
  void list(const std::string& text) const { std::ofstream(at_ + "/list.txt", std::ios::binary) << text; }
  // As from a shell in `folder`, with what the shell makes of `input`.
  [[nodiscard]] Ran judged(const std::string& folder, const std::string& input) {
    out_ = at_ + "/out" + std::to_string(++runs_);
    const std::string said = at_ + "/said";
    const std::string line = "cd '" + folder + "' && '" + SCRAPETRACE_BINARY + "' triage --layout '" +
                             kLayout + "' --chart '" + kChart + "' --out '" + out_ + "' " + input;
    std::ofstream(at_ + "/line.sh") << line << " > '" << said << ".out' 2> '" << said << ".err'\n";
    const int status = std::system(("bash '" + at_ + "/line.sh'").c_str());
    return {WEXITSTATUS(status), slurp(said + ".out"), slurp(said + ".err")};
  }
  [[nodiscard]] std::vector<Json> lines() const {
    std::vector<Json> all;
    std::istringstream text(slurp(out_ + "/cases.jsonl"));
    for (std::string line; std::getline(text, line);) all.push_back(Json::parse(line));
    return all;
  }
  void expect_refused(const std::string& input, const std::string& reason) {
    const Ran ran = judged(at_, input);
    EXPECT_EQ(ran.status, 2) << ran.out;
    EXPECT_NE(ran.err.find(reason), std::string::npos) << ran.err;
    EXPECT_FALSE(fs::exists(out_ + "/cases.jsonl"));
  }

  const std::string at_ = scratch();
  std::string out_;
  int runs_ = 0;
};

TEST_F(Manifest, GivesTheSameWhereverItIsReadFrom) {
  ASSERT_EQ(judged(at_, "list.txt").status, 0);
  const std::string expected = slurp(out_ + "/cases.jsonl");
  ASSERT_EQ(lines().size(), 2U);
  EXPECT_EQ(lines()[0]["case"], "unit 1");
  for (const auto& [folder, input] : {std::pair<std::string, std::string>{at_ + "/elsewhere", "../list.txt"},
                                      {at_ + "/elsewhere", "'" + at_ + "/list.txt'"},
                                      {at_, "- < list.txt"},
                                      {at_, "<(cat list.txt)"}}) {
    const Ran ran = judged(folder, input);
    EXPECT_EQ(ran.status, 0) << input << ran.err;
    EXPECT_TRUE(ran.err.empty()) << input << ran.err;
    EXPECT_EQ(slurp(out_ + "/cases.jsonl"), expected) << input;
  }
}

TEST_F(Manifest, MayComeFromWindowsOrWithWholePaths) {
  list("\xEF\xBB\xBFunit 1\tscans/a-1.png\r\n# tomorrow\r\n\r\nunit 2\tscans/b-1.png\r\n");
  ASSERT_EQ(judged(at_, "list.txt").status, 0);
  ASSERT_EQ(lines().size(), 2U);
  EXPECT_EQ(lines()[0]["case"], "unit 1");
  list(at_ + "/scans/a-1.png\n" + at_ + "/scans/b-1.png\n");
  ASSERT_EQ(judged(at_ + "/elsewhere", "- < ../list.txt").status, 0);
  ASSERT_EQ(lines().size(), 2U);
  EXPECT_EQ(lines()[0]["case"], "a");  // by the file's own name
}

TEST_F(Manifest, ThatNamesWhatIsNotThereSaysSoAtOnceAndInTheCase) {
  list("unit 1\tscans/a-1.png\nunit 2\tscans/nowhere.png\nunit 3\tscans\n");
  const Ran ran = judged(at_, "list.txt");
  EXPECT_EQ(ran.status, 1);
  EXPECT_NE(ran.err.find(
                "list.txt: lists 1 file that is not there, scans/nowhere.png; names are relative to " + at_),
            std::string::npos)
      << ran.err;
  ASSERT_EQ(lines().size(), 3U);
  int absent = 0;
  for (const auto& line : lines()) {
    if (line["rescan"].is_null()) continue;
    ++absent;
    EXPECT_EQ(line["group"], 4);  // could not look
    EXPECT_TRUE(line["scans"][0]["sha256"].is_null());
    EXPECT_EQ(line["rescan"].get<std::string>().rfind("A scan of unit ", 0), 0U) << line["rescan"];
  }
  EXPECT_EQ(absent, 2);
}

TEST_F(Manifest, ThatIsNoneIsRefused) {
  list("");
  expect_refused("list.txt", "list.txt: lists no scan; write one per line");
  expect_refused("- < /dev/null", "standard input: lists no scan");
  expect_refused("nowhere.txt", "nowhere.txt: cannot be read");
  expect_refused("scans/a-1.png", "is no line of a manifest");
  list("fine\tscans/a-1.png\n\tno case.png\nunit\ta\tb\n");
  expect_refused("list.txt", "list.txt:2:1: is no line of a manifest");
  expect_refused("list.txt list.txt", "name one folder, manifest file");
}

}  // namespace
}  // namespace scrapetrace::cli
