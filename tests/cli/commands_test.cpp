// The commands on a small rendered sheet, end to end.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("geometry/charts/tavvick_bands.toml");

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

// A sheet with residue on head 3's left faceplate, rendered once.
const std::string& sheet() {
  static const std::string path = [] {
    const std::string scan = scratch() + "/sheet.png";
    const Ran ran =
        run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--residue", "3:left:faceplate:3",
                  "--dpi", "300", "--out", scan, "--truth", scratch() + "/truth.json"});
    EXPECT_EQ(ran.status, 0) << ran.err;
    return scan;
  }();
  return path;
}

std::vector<std::string> locate_with(std::vector<std::string> more) {
  std::vector<std::string> words{"locate", "--layout", kLayout, "--chart", kChart};
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

TEST(Layout, DescribesAndDraws) {
  const std::string svg = scratch() + "/layout.svg";
  const Ran ran = run_tool({"layout", kLayout, "--svg", svg});
  EXPECT_EQ(ran.status, 0) << ran.err;
  EXPECT_TRUE(holds(ran.out, "Tavvick 300"));
  EXPECT_TRUE(holds(slurp(svg), "<svg"));
}

TEST(Simulate, WritesTheScanAndTheTruth) {
  ASSERT_GT(fs::file_size(sheet()), 0U);
  const Json truth = Json::parse(slurp(fs::path(sheet()).replace_filename("truth.json").string()));
  EXPECT_EQ(truth["schema"], "scrapetrace.truth/1");
}

TEST(Simulate, GivesTheSameBytesWhateverTheThreads) {
  const std::string again = scratch() + "/again.png";
  const Ran ran = run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--residue",
                            "3:left:faceplate:3", "--dpi", "300", "--threads", "3", "--out", again});
  EXPECT_EQ(ran.status, 0) << ran.err;
  EXPECT_EQ(slurp(again), slurp(sheet()));
}

TEST(Simulate, FlagsBeatTheScenario) {
  const std::string scenario = scratch() + "/scenario.toml";
  std::ofstream(scenario) << "schema = \"scrapetrace.scenario/1\"\n[scan]\ndpi = 200.0\nturn_deg = 90\n";
  const std::string truth = scratch() + "/flags.json";
  const Ran ran = run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--scenario", scenario,
                            "--dpi", "150", "--out", scratch() + "/flags.png", "--truth", truth});
  EXPECT_EQ(ran.status, 0) << ran.err;
  const Json json = Json::parse(slurp(truth));
  EXPECT_EQ(json["scan"]["dpi"], 150.0);
  EXPECT_EQ(json["scan"]["turn_deg"], 90);
}

TEST(Simulate, NamesWhatAResidueFlagGetsWrong) {
  for (const auto& [flag, reason] :
       {std::pair{"9:left:faceplate", "no head is called \"9\""},
        std::pair{"3:left:faceplat", "no zone is called \"left:faceplat\""},
        std::pair{"3:left:faceplate:x", "no number of millimetres"}, std::pair{"3", "the form is"}}) {
    const Ran ran = run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--residue", flag, "--out",
                              scratch() + "/never.png"});
    EXPECT_EQ(ran.status, 2);
    EXPECT_TRUE(holds(ran.err, reason)) << ran.err;
    EXPECT_FALSE(fs::exists(scratch() + "/never.png"));
  }
}

TEST(Locate, NamesTheHeadInTextJsonAndPicture) {
  const std::string json_file = scratch() + "/found.json";
  const std::string picture = scratch() + "/found.png";
  const Ran ran = run_tool(locate_with({"--json", json_file, "--picture", picture, sheet()}));
  EXPECT_EQ(ran.status, 0) << ran.err;
  EXPECT_EQ(ran.out.substr(0, ran.out.find(',')), "Clean head 3");
  const Json json = Json::parse(slurp(json_file));
  ASSERT_FALSE(json["targets"].empty());
  EXPECT_EQ(json["targets"][0]["head"], "3");
  EXPECT_EQ(json["targets"][0]["side"], "left");
  EXPECT_EQ(slurp(picture).substr(1, 3), "PNG");
  for (const auto& entry : fs::directory_iterator(scratch())) {
    EXPECT_FALSE(holds(entry.path().filename().string(), ".part")) << entry.path();
  }
}

TEST(Locate, TracesItsStages) {
  const std::string trace = scratch() + "/trace.json";
  const Ran ran = run_tool(locate_with({"--trace", trace, sheet()}));
  ASSERT_EQ(ran.status, 0) << ran.err;
  const Json events = Json::parse(slurp(trace))["traceEvents"];
  const auto length_of = [&](const std::string& name) {
    double sum = 0;
    for (const Json& event : events) sum += event["name"] == name ? event["dur"].get<double>() : 0;
    return sum;
  };
  for (const char* stage : {"read pages", "place page", "make profiles", "search streaks", "explain streaks"})
    EXPECT_GT(length_of(stage), 0) << stage;
}

TEST(Locate, JsonToStdoutStandsAlone) {
  const Ran ran = run_tool(locate_with({"--json", "-", sheet()}));
  EXPECT_EQ(ran.status, 0) << ran.err;
  EXPECT_EQ(Json::parse(ran.out)["schema"], "scrapetrace.locate/1");
}

TEST(Locate, AScanThatFailsDoesNotStopTheOthers) {
  const std::string torn = scratch() + "/torn.png";
  const std::string whole = slurp(sheet());
  std::ofstream(torn, std::ios::binary) << whole.substr(0, whole.size() / 2);
  const Ran ran = run_tool(locate_with({"--json", "-", torn, sheet()}));
  EXPECT_EQ(ran.status, 1) << ran.err;
  const Json quality = Json::parse(ran.out)["quality"];
  ASSERT_EQ(quality.size(), 2U);
  EXPECT_EQ(quality[0]["analysed"], false);
  EXPECT_FALSE(quality[0]["reasons"].empty());
  EXPECT_EQ(quality[1]["analysed"], true);
}

TEST(Locate, SaysCouldNotLookForAMissingScan) {
  const Ran ran = run_tool(locate_with({"no-such.tif"}));
  EXPECT_EQ(ran.status, 1);
  EXPECT_EQ(ran.out.substr(0, ran.out.find(':')), "Could not look");
}

}  // namespace
}  // namespace scrapetrace::cli
