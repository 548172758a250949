// What recheck says of a streak that grew, through the real binary.
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");

std::string sheet(const std::string& name, const std::string& loss, const std::string& seed) {
  const std::string scenario = scratch() + "/" + name + ".toml";
  std::ofstream(scenario)
      << "schema = \"scrapetrace.scenario/1\"\n[[residue]]\nhead = \"3\"\nside = \"left\"\n"
         "surface = \"faceplate\"\noutward_mm = 3.0\ncontact = \"upstream\"\n"
         "width_mm = 1.5\nloss = "
      << loss << "\n";
  std::string scan = scratch() + "/" + name + ".png";
  EXPECT_EQ(run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--scenario", scenario, "--seed",
                      seed, "--dpi", "300", "--out", scan})
                .status,
            0);
  return scan;
}

Ran recheck(const std::vector<std::string>& more) {
  std::vector<std::string> words{"recheck",
                                 "--layout",
                                 kLayout,
                                 "--chart",
                                 kChart,
                                 "--before",
                                 sheet("weak", "0.05", "2"),
                                 "--after",
                                 sheet("strong", "0.15", "3")};
  words.insert(words.end(), more.begin(), more.end());
  return run_tool(words);
}

// 5 % against 15 % taken at each touch: of k touches 1 - 0.95^k and 1 - 0.85^k are lost, nearly three times
// as much.
TEST(Recheck, SaysByHowMuchAStreakGrewAndSendsBackToIt) {
  const std::string json = scratch() + "/grown.json";
  const Ran ran = recheck({"--cleaned", "3:left", "--json", json});
  ASSERT_EQ(ran.status, 0) << ran.err;
  const Json found = Json::parse(slurp(json));
  ASSERT_EQ(found["changes"].size(), 1U);
  const Json& change = found["changes"][0];
  EXPECT_EQ(change["change"], "stronger");
  const double more = -change["fainter_by"].get<double>();
  EXPECT_GT(more, 1.3);
  EXPECT_LT(more, 2.4);
  EXPECT_NEAR(more,
              change["loss_after"]["loss"].get<double>() / change["loss_before"]["loss"].get<double>() - 1,
              1e-3);
  EXPECT_EQ(found["next"]["step"], "clean_again");
  const std::string by = "stronger by " + std::to_string(std::lround(100 * more)) + " % (+-";
  EXPECT_EQ(ran.out.rfind("Clean head 3, left side, faceplate (", 0), 0U) << ran.out;
  EXPECT_NE(ran.out.find(by), std::string::npos) << ran.out;
  EXPECT_EQ(ran.out.find("over 99 % (+-"), std::string::npos) << ran.out;
}

TEST(Recheck, AStreakThatGrewAfterAnotherPlaceWasCleanedLeadsToItsOwn) {
  const Ran ran = recheck({"--cleaned", "2:left", "--html", "-"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_NE(ran.out.find("Clean head 3, left side, faceplate ("), std::string::npos);
  EXPECT_NE(ran.out.find(") next: the streak at "), std::string::npos);
  EXPECT_NE(ran.out.find("stronger by "), std::string::npos);
}

std::string page(const std::string& name, const std::string& seed, const std::string& scenario) {
  const std::string file = scratch() + "/" + name + ".toml";
  std::ofstream(file) << "schema = \"scrapetrace.scenario/1\"\n" << scenario;
  std::string scan = scratch() + "/" + name + ".png";
  const Ran ran = run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--scenario", file, "--seed",
                            seed, "--dpi", "300", "--force", "--out", scan});
  EXPECT_EQ(ran.status, 0) << ran.err;
  return scan;
}

std::string jet(const std::string& head, int number) {
  return "[[jet]]\nhead = \"" + head + "\"\nink = \"black\"\njet = " + std::to_string(number) + "\n";
}

// A scrape beside head 3 is gone, two of its jets are dead now; one of head 2 was dead all along. The history
// says so, too.
TEST(Recheck, SaysFirstThatTheCleaningTookJets) {
  const std::string before =
      page("jets_before", "5",
           jet("2", 31) +
               "[[residue]]\nhead = \"3\"\nside = \"left\"\nsurface = \"faceplate\"\n"
               "outward_mm = 3.0\ncontact = \"upstream\"\nwidth_mm = 1.5\nloss = 0.3\n");
  const std::string after = page("jets_after", "6", jet("2", 31) + jet("3", 3) + jet("3", 12));
  const std::string json = scratch() + "/jets.json";
  const Ran ran = run_tool({"recheck", "--layout", kLayout, "--chart", kChart, "--before", before, "--after",
                            after, "--cleaned", "3:left:faceplate", "--json", json, "--force"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_EQ(ran.out.rfind("Stop: 2 jets of head 3 (black), the nearest ", 0), 0U) << ran.out;
  const Json found = Json::parse(slurp(json));
  EXPECT_EQ(found["next"]["step"], "stop");
  ASSERT_EQ(found["jets"].size(), 3U) << found["jets"].dump(1);
  for (const auto& one : found["jets"]) {
    EXPECT_EQ(one["state"], one["head"] == "3" ? "lost" : "was_so") << one.dump(1);
    EXPECT_EQ(one["dead"], true);
  }
  const std::string book = scratch() + "/jets.sqlite";
  EXPECT_EQ(
      run_tool({"case", "add", "--book", book, "--unit", "W", "--who", "Ona", "--recheck", json}).status, 0);
  EXPECT_NE(run_tool({"case", "show", "--book", book}).out.find("Stop: 2 jets of head 3"), std::string::npos);
  EXPECT_NE(run_tool({"case", "export", "--book", book, "--format", "html"}).out.find(">STOP<"),
            std::string::npos);
}

// QA passed the unit: the limits let one dead jet a head go, and nobody asked since when it was dead.
TEST(Recheck, AVerdictTellsJetsThatTheWorkCost) {
  const std::string before = page("verdict_before", "15", jet("2", 31));
  const std::string after = page("verdict_after", "16", jet("2", 31) + jet("3", 3));
  const std::string limits = scratch() + "/one_dead.toml";
  std::ofstream(limits)
      << "schema = \"scrapetrace.limits/1\"\nname = \"Jets\"\n[jets]\ndead_max_per_head = 1\n";
  const auto judged = [&](std::vector<std::string> more) {
    std::vector<std::string> words{"accept", "--layout", kLayout, "--chart",
                                   kChart,   "--limits", limits,  after};
    words.insert(words.end(), more.begin(), more.end());
    return run_tool(words);
  };
  EXPECT_EQ(judged({}).status, 0);
  const Ran since = judged({"--before", before});
  EXPECT_EQ(since.status, 3) << since.out;
  EXPECT_EQ(since.out.rfind("Fail: jets lost since the scans from before: 1; allowed: 0; head 3", 0), 0U)
      << since.out;
  const Json told = Json::parse(judged({"--before", before, "--json", "-"}).out);
  ASSERT_EQ(told["jets"].size(), 2U) << told["jets"].dump(1);
  for (const auto& one : told["jets"]) EXPECT_EQ(one["state"], one["head"] == "3" ? "lost" : "was_so");
  const std::string book = scratch() + "/verdict.sqlite";
  const Ran added =
      run_tool({"case", "add", "--book", book, "--unit", "W", "--who", "Ona", "--layout", kLayout, "--chart",
                kChart, "--limits", limits, "--scan", after, "--before", before});
  EXPECT_EQ(added.status, 0) << added.err;
  EXPECT_NE(run_tool({"case", "show", "--book", book}).out.find("Fail: jets lost since"), std::string::npos);
}

TEST(Recheck, JetsThatWereDeadBeforeStopNobody) {
  const Ran ran = run_tool({"recheck", "--layout", kLayout, "--chart", kChart, "--before",
                            page("dead_1", "7", jet("3", 3)), "--after", page("dead_2", "8", jet("3", 3)),
                            "--cleaned", "3:left", "--json", "-"});
  ASSERT_EQ(ran.status, 0) << ran.err;
  const Json found = Json::parse(ran.out);
  EXPECT_NE(found["next"]["step"], "stop");
  ASSERT_EQ(found["jets"].size(), 1U);
  EXPECT_EQ(found["jets"][0]["state"], "was_so");
}

}  // namespace
}  // namespace scrapetrace::cli
