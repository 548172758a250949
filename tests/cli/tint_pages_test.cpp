// Pages of tints that reach over a part of the drum only: which head sides they could show a scrape of at
// all, in every output.

#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;

// The tints end at sheet x 128 mm. Mirrored, scale 1.001, the sheet's left edge over drum X 220: nothing is
// seen left of X = 220 - 128 / 1.001 = 92.1 mm, nor right of 214 mm. Heads 1 and 2 lie left of that wholly,
// head 3 (jets from X 80.1 mm on) with its left side; head 6 ends at X 216.1 mm.
const std::set<std::string> kWhollyUnseen = {"1 left faceplate",   "1 right faceplate", "1 left insulation",
                                             "1 right insulation", "2 left faceplate",  "2 right faceplate",
                                             "2 right insulation", "3 left faceplate",  "3 left insulation",
                                             "6 right faceplate",  "6 right insulation"};

std::string scan_of(const std::vector<std::string>& more) {
  std::string out = scratch() + "/tints.tif";
  std::vector<std::string> words = {"simulate",
                                    "--layout",
                                    source_path("geometry/tavvick.toml"),
                                    "--chart",
                                    source_path("fixtures/charts/tavvick_tints.toml"),
                                    "--dpi",
                                    "300",
                                    "--seed",
                                    "4",
                                    "--machine-seed",
                                    "8",
                                    "--force",
                                    "--out",
                                    out};
  words.insert(words.end(), more.begin(), more.end());
  const Ran ran = run_tool(words);
  EXPECT_EQ(ran.status, 0) << ran.err;
  return out;
}

TEST(TintPages, TellWhichHeadSidesTheyCouldShow) {
  const std::string page = scratch() + "/page.html";
  const std::string json = scratch() + "/page.json";
  const Ran ran = run_tool({"locate", "--layout", source_path("geometry/tavvick.toml"), "--chart",
                            source_path("fixtures/charts/tavvick_tints.toml"), "--json", json, "--html", page,
                            scan_of({})});
  ASSERT_EQ(ran.status, 0) << ran.err;
  std::set<std::string> unseen;
  const Json found = Json::parse(slurp(json));
  for (const Json& part : found["unchecked"]) {
    for (const Json& target : part["targets"]) {
      const std::string name = target["head"].get<std::string>() + " " + target["side"].get<std::string>() +
                               " " + target["surface"].get<std::string>();
      if (target["fraction"].get<double>() > 0.99) unseen.insert(name);
    }
  }
  EXPECT_EQ(unseen, kWhollyUnseen);
  for (const std::string& text : {ran.out, slurp(page)}) {
    EXPECT_NE(text.find("Not checked"), std::string::npos);
    EXPECT_NE(text.find("head 6, right side"), std::string::npos);
    EXPECT_EQ(text.find("head 4, left side"), std::string::npos);
  }
}

// A scrape of a side that the tints do show is found on them, with the chart and without.
TEST(TintPages, ShowAScrapeOfThoseThatTheyCover) {
  const std::string scan = scan_of({"--residue", "4:right:faceplate:1"});
  for (const bool with_chart : {true, false}) {
    std::vector<std::string> words = {"locate", "--layout", source_path("geometry/tavvick.toml"), "--json",
                                      "-"};
    if (with_chart) words.insert(words.end(), {"--chart", source_path("fixtures/charts/tavvick_tints.toml")});
    words.insert(words.end(), {"--lead-edge", "top", scan});
    const Json found = Json::parse(run_tool(words).out);
    ASSERT_FALSE(found["targets"].empty()) << with_chart;
    EXPECT_EQ(found["targets"][0]["head"], "4");
    EXPECT_EQ(found["targets"][0]["side"], "right");
  }
}

// What is left of fringes widens this streak to as far as the facing side's would reach. Taken for jets'
// noise it made that side certain.
TEST(TintPages, LeaveRoomForWhatFringesHide) {
  std::string chart = slurp(source_path("geometry/charts/hobdrel_bands.toml"));
  const std::string solid = "coverage = 1.0";
  for (std::size_t at = chart.find(solid); at != std::string::npos; at = chart.find(solid, at))
    chart.replace(at, solid.size(), "coverage = 0.6");
  std::ofstream(scratch() + "/chart.toml") << chart;
  std::ofstream(scratch() + "/scenario.toml") << R"(schema = "scrapetrace.scenario/1"
[print]
machine_seed = 7
screen_lpi = 133
screen_deg = 45
[scan]
dpi = 600
skew_deg = 0.2
scan_seed = 7
[[residue]]
head = "3"
side = "left"
surface = "faceplate"
outward_mm = 2.5
contact = "upstream"
width_mm = 1.6
loss = 0.05
)";
  const std::vector<std::string> machine = {"--layout", source_path("geometry/hobdrel.toml"), "--chart",
                                            scratch() + "/chart.toml"};
  const auto on_it = [&](std::vector<std::string> words, const std::vector<std::string>& more) {
    words.insert(words.end(), machine.begin(), machine.end());
    words.insert(words.end(), more.begin(), more.end());
    return run_tool(words);
  };
  const std::string scan = scratch() + "/screened.png";
  ASSERT_EQ(on_it({"simulate"}, {"--scenario", scratch() + "/scenario.toml", "--out", scan}).status, 0);
  const Json found = Json::parse(on_it({"locate"}, {"--json", "-", scan}).out);
  ASSERT_FALSE(found["targets"].empty());
  for (const Json& target : found["targets"]) {
    const bool right = target["head"] == "3" && target["side"] == "left";
    EXPECT_TRUE(right || target["probability"].get<double>() < 0.9) << target;
  }
}

}  // namespace
}  // namespace scrapetrace::cli
