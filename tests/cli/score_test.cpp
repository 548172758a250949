// A run of random cases, stopped and taken up again.
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

std::vector<std::string> score_with(std::vector<std::string> more) {
  std::vector<std::string> words{"score",
                                 "--layout",
                                 source_path("geometry/tavvick.toml"),
                                 "--chart",
                                 source_path("geometry/charts/tavvick_bands.toml"),
                                 "--cases",
                                 "4",
                                 "--seed",
                                 "3",
                                 "--full-height",
                                 "0"};
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

std::string in_scratch(const std::string& name) {
  return scratch() + "/" + name;
}

TEST(Score, GoesOnWhereItWasStoppedWithTheSameBytes) {
  const Ran whole =
      run_tool(score_with({"--resume", in_scratch("whole.jsonl"), "--json", in_scratch("whole.json")}));
  ASSERT_EQ(whole.status, 0) << whole.err;
  EXPECT_EQ(whole.err, "");  // no progress where nobody looks
  const std::string lines = slurp(in_scratch("whole.jsonl"));
  // As a kill leaves it: some cases done, one half written.
  const std::size_t cut = lines.find('\n', lines.find('\n', lines.find('\n') + 1) + 1);
  std::ofstream(in_scratch("cut.jsonl"), std::ios::binary) << lines.substr(0, cut + 200);
  const Ran rest = run_tool(
      score_with({"--jobs", "2", "--resume", in_scratch("cut.jsonl"), "--json", in_scratch("cut.json")}));
  ASSERT_EQ(rest.status, 0) << rest.err;
  EXPECT_EQ(slurp(in_scratch("cut.json")), slurp(in_scratch("whole.json")));
  EXPECT_EQ(rest.out, whole.out);
  EXPECT_EQ(slurp(in_scratch("cut.jsonl")).size(), lines.size());
  const auto json = nlohmann::json::parse(slurp(in_scratch("whole.json")));
  EXPECT_EQ(json.at("schema"), "scrapetrace.score/1");
  EXPECT_EQ(json.at("cases"), 4);
}

TEST(Score, RefusesTheCasesOfAnotherRun) {
  std::ofstream(in_scratch("other.jsonl")) << "{\"schema\":\"scrapetrace.cases/1\",\"seed\":99}\n{}\n";
  const Ran ran = run_tool(score_with({"--resume", in_scratch("other.jsonl")}));
  EXPECT_EQ(ran.status, 2);
  EXPECT_NE(ran.err.find("another run"), std::string::npos) << ran.err;
  EXPECT_NE(slurp(in_scratch("other.jsonl")).find("99"), std::string::npos);  // left as it was
}

// Another build may judge otherwise.
TEST(Score, TakesUpTheCasesOfAnotherBuildOnlyWhenTold) {
  ASSERT_EQ(run_tool(score_with({"--resume", in_scratch("older.jsonl")})).status, 0);
  std::string lines = slurp(in_scratch("older.jsonl"));
  const std::size_t at = lines.find("\"program\":\"") + 11;
  ASSERT_GT(at, 11U);
  lines.replace(at, lines.find('"', at) - at, "0.0.9-older");
  std::ofstream(in_scratch("older.jsonl"), std::ios::binary) << lines;
  const Ran refused = run_tool(score_with({"--resume", in_scratch("older.jsonl")}));
  EXPECT_EQ(refused.status, 2);
  EXPECT_NE(refused.err.find("0.0.9-older"), std::string::npos) << refused.err;
  EXPECT_NE(refused.err.find("--other-builds"), std::string::npos) << refused.err;
  EXPECT_EQ(slurp(in_scratch("older.jsonl")), lines);
  const Ran taken = run_tool(score_with({"--resume", in_scratch("older.jsonl"), "--other-builds"}));
  EXPECT_EQ(taken.status, 0) << taken.err;
}

TEST(Score, SaysWhatItNeeds) {
  EXPECT_EQ(run_tool({"score"}).status, 2);
  const Ran kind = run_tool(score_with({"--kind", "resdue"}));
  EXPECT_EQ(kind.status, 2);
  EXPECT_NE(kind.err.find("low_loss"), std::string::npos) << kind.err;
  EXPECT_EQ(run_tool(score_with({"--layout", source_path("geometry/hobdrel.toml")})).status, 2);
}

}  // namespace
}  // namespace scrapetrace::cli
