// Every output says which program made it, from which layout and from which scans.

#include <gtest/gtest.h>

#include <cstdio>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");

// By coreutils, not by the program's own code.
std::string sha256(const std::string& file) {
  std::FILE* pipe = popen(("sha256sum '" + file + "'").c_str(), "r");
  std::string digest(64, '\0');
  EXPECT_EQ(std::fread(digest.data(), 1, digest.size(), pipe), digest.size());
  pclose(pipe);
  return digest;
}

class OriginTest : public ::testing::Test {
 protected:
  void SetUp() override {
    fs::create_directories(at_ + "/inbox");
    for (const auto& [file, residue] :
         {std::pair{scan_, "3:left:faceplate:1"}, {other_, "2:right:faceplate:2"}})
      ASSERT_EQ(tool("simulate", {"--dpi", "100", "--residue", residue, "--out", file, "--force"}).status, 0);
  }
  static Ran tool(const std::string& command, const std::vector<std::string>& more) {
    std::vector<std::string> words{command, "--layout", kLayout, "--chart", kChart};
    words.insert(words.end(), more.begin(), more.end());
    return run_tool(words);
  }
  [[nodiscard]] std::string file(const std::string& name) const { return at_ + "/" + name; }

  // All that are named are there with the whole of their hashes, or their first 16 digits.
  static void expect_named(const std::string& what, const std::string& text,
                           const std::vector<std::string>& files, std::size_t digits) {
    EXPECT_NE(text.find(SCRAPETRACE_VERSION), std::string::npos) << what;
    for (const auto& path : files)
      EXPECT_NE(text.find(sha256(path).substr(0, digits)), std::string::npos) << what << ": " << path;
  }
  static void expect_inputs(const std::string& json,
                            const std::vector<std::pair<std::string, std::string>>& files) {
    const Json tree = Json::parse(json);
    EXPECT_EQ(tree["tool_version"], SCRAPETRACE_VERSION);
    ASSERT_EQ(tree["inputs"].size(), files.size());
    for (std::size_t i = 0; i < files.size(); ++i) {
      const Json expected{
          {"role", files[i].first}, {"file", files[i].second}, {"sha256", sha256(files[i].second)}};
      EXPECT_EQ(tree["inputs"][i], expected);
    }
  }

  const std::string at_ = scratch() + "/origin";
  const std::string scan_ = at_ + "/inbox/a.png";
  const std::string other_ = at_ + "/inbox/b.png";
};

TEST_F(OriginTest, StandsInWhatLocateWrites) {
  const Ran ran = tool("locate", {"--json", file("l.json"), "--html", file("l.html"), "--picture",
                                  file("l.svg"), "--force", scan_, "--before", other_});
  ASSERT_EQ(ran.status, 0) << ran.err;
  expect_inputs(slurp(file("l.json")),
                {{"layout", kLayout}, {"chart", kChart}, {"scan 1", scan_}, {"scan from before 1", other_}});
  expect_named("page", slurp(file("l.html")), {kLayout, kChart, scan_, other_}, 64);
  expect_named("picture", slurp(file("l.svg")), {kLayout, kChart, scan_, other_}, 16);
  expect_named("text", ran.out, {kLayout, kChart, scan_, other_}, 16);
}

TEST_F(OriginTest, StandsInRechecksAndVerdicts) {
  const Ran recheck = tool("recheck", {"--before", scan_, "--after", other_, "--cleaned", "3:left", "--json",
                                       file("r.json"), "--html", file("r.html"), "--force"});
  ASSERT_EQ(recheck.status, 0) << recheck.err;
  expect_inputs(slurp(file("r.json")),
                {{"layout", kLayout}, {"chart", kChart}, {"before 1", scan_}, {"after 1", other_}});
  expect_named("text", recheck.out, {kLayout, scan_, other_}, 16);
  expect_named("page", slurp(file("r.html")), {kLayout, scan_, other_}, 64);
  const std::string limits = source_path("fixtures/limits/proof_first_class.toml");
  const Ran accept = tool(
      "accept", {"--limits", limits, "--json", file("v.json"), "--html", file("v.html"), "--force", scan_});
  expect_inputs(slurp(file("v.json")),
                {{"layout", kLayout}, {"chart", kChart}, {"limits", limits}, {"scan 1", scan_}});
  expect_named("text", accept.out, {kLayout, limits, scan_}, 16);
  expect_named("page", slurp(file("v.html")), {kLayout, limits, scan_}, 64);
}

TEST_F(OriginTest, StandsInATriageAndACasebook) {
  ASSERT_EQ(tool("triage", {"--out", file("t"), "--force", at_ + "/inbox"}).status, 0);
  const std::string lines = slurp(file("t/cases.jsonl"));
  const Json line = Json::parse(lines.substr(0, lines.find('\n')));
  EXPECT_EQ(line["tool_version"], SCRAPETRACE_VERSION);
  EXPECT_EQ(line["layout_sha256"], sha256(kLayout));
  EXPECT_EQ(line["chart_sha256"], sha256(kChart));
  EXPECT_EQ(line["scans"][0]["sha256"],
            sha256(at_ + "/inbox/" + line["scans"][0]["file"].get<std::string>()));
  expect_named("overview", slurp(file("t/overview.html")), {kLayout, kChart}, 16);
  expect_named("report", slurp(file("t/" + line["report"].get<std::string>())), {kLayout, kChart}, 64);

  fs::remove(file("book"));
  ASSERT_EQ(tool("locate", {"--json", file("c.json"), "--force", scan_}).status, 0);
  const Ran added =
      run_tool({"case", "add", "--book", file("book"), "--unit", "u", "--who", "Ona", "--layout", kLayout,
                "--chart", kChart, "--scan", scan_, "--finding", file("c.json")});
  ASSERT_EQ(added.status, 0) << added.err;
  const Json records = Json::parse(run_tool({"case", "export", "--book", file("book")}).out)["records"];
  ASSERT_EQ(records.size(), 2U);
  for (const Json& record : records) {
    EXPECT_EQ(record["tool_version"], SCRAPETRACE_VERSION);
    EXPECT_EQ(record["layout_sha256"], sha256(kLayout));
  }
  EXPECT_EQ(records[0]["body"]["sha256"], sha256(scan_));
  EXPECT_EQ(records[1]["body"]["inputs"][2]["sha256"], sha256(scan_));
  expect_named("CSV", run_tool({"case", "export", "--book", file("book"), "--format", "csv"}).out, {kLayout},
               64);
}

TEST_F(OriginTest, StandsInWhatIsMadeWithoutScans) {
  const std::string scenario = source_path("fixtures/demo/bench-1-residue.toml");
  const std::string machine = source_path("geometry/hobdrel.toml");
  const std::string bands = source_path("geometry/charts/hobdrel_bands.toml");
  const Ran truth = run_tool({"simulate", "--layout", machine, "--chart", bands, "--scenario", scenario,
                              "--dpi", "50", "--out", file("s.png"), "--truth", "-"});
  ASSERT_EQ(truth.status, 0) << truth.err;
  expect_inputs(truth.out, {{"layout", machine}, {"chart", bands}, {"scenario", scenario}});
  const Ran layout = run_tool({"layout", kLayout, "--svg", file("layout.svg")});
  expect_named("text", layout.out, {kLayout}, 16);
  expect_named("picture", slurp(file("layout.svg")), {kLayout}, 16);
  const Ran page = run_tool({"page", "--layout", kLayout, "--sheet", "a4", "--chart", "-"});
  expect_named("chart", page.out, {kLayout}, 16);
}

}  // namespace
}  // namespace scrapetrace::cli
