// A run of random cases, stopped and taken up again.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/run_tool.h"

namespace scrapetrace::score {
namespace {

using cli::Ran;
using cli::run_tool;
using cli::scratch;
using cli::slurp;
using cli::source_path;

std::vector<std::string> score_with(std::vector<std::string> more) {
  std::vector<std::string> words{"--layout",      source_path("geometry/tavvick.toml"),
                                 "--chart",       source_path("geometry/charts/tavvick_bands.toml"),
                                 "--cases",       "4",
                                 "--seed",        "3",
                                 "--full-height", "0"};
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
  EXPECT_EQ(run_tool({}).status, 2);
  const Ran kind = run_tool(score_with({"--kind", "resdue"}));
  EXPECT_EQ(kind.status, 2);
  EXPECT_NE(kind.err.find("low_loss"), std::string::npos) << kind.err;
  EXPECT_EQ(run_tool(score_with({"--layout", source_path("geometry/hobdrel.toml")})).status, 2);
}

TEST(Score, KeepsItsCasesInAFileThatCanBeReadAgain) {
  const Ran device = run_tool(score_with({"--resume", "/dev/null"}));
  EXPECT_EQ(device.status, 2);
  EXPECT_NE(device.err.find("read again"), std::string::npos) << device.err;
}

TEST(Score, NeverDestroysAnInput) {
  const std::string layout = in_scratch("mine.toml");
  std::filesystem::copy_file(source_path("geometry/tavvick.toml"), layout);
  const std::string before = slurp(layout);
  const Ran ran = run_tool({"--layout", layout, "--chart", source_path("geometry/charts/tavvick_bands.toml"),
                            "--resume", layout, "--force"});
  EXPECT_EQ(ran.status, 2);
  EXPECT_NE(ran.err.find("is the same file as"), std::string::npos) << ran.err;
  EXPECT_EQ(slurp(layout), before);
}

// Judged by python3-jsonschema (JSON Schema draft 2020-12); hashes by coreutils.
TEST(Score, KeepsItsSchemaAndNamesItsInputs) {
  const std::string file = in_scratch("score.json");
  const Ran ran = run_tool(score_with({"--kind", "clean", "--no-ideal", "--json", file}));
  ASSERT_EQ(ran.status, 0) << ran.err;
  const auto shell = [](const std::string& line) { return std::system((line + " 2>/dev/null").c_str()); };
  const std::string validate = "/usr/bin/python3 '" + source_path("tests/cli/validate_json.py") + "' '" +
                               source_path("tests/score/score.schema.json") + "' '";
  EXPECT_EQ(shell(validate + file + "'"), 0);
  auto json = nlohmann::json::parse(slurp(file));
  ASSERT_EQ(json["inputs"].size(), 2U);
  EXPECT_EQ(json["inputs"][0]["role"], "layout 1");
  EXPECT_EQ(json["inputs"][1]["role"], "chart 1");
  std::ofstream sums(in_scratch("sums"));
  for (const auto& input : json["inputs"])
    sums << std::string(input["sha256"]) << "  " << std::string(input["file"]) << '\n';
  sums.close();
  EXPECT_EQ(shell("sha256sum --check --status '" + in_scratch("sums") + "'"), 0);
  json["cases"] = "four";
  std::ofstream(in_scratch("broken.json")) << json;
  EXPECT_NE(shell(validate + in_scratch("broken.json") + "'"), 0);  // the judge does judge
}

TEST(Score, RunsItsExample) {
  const std::string help = run_tool({"--help"}).out;
  EXPECT_EQ(help.rfind("Usage: score --layout", 0), 0U) << help;
  const auto at = help.find("Example:\n  score ");
  ASSERT_NE(at, std::string::npos) << help;
  std::istringstream words(help.substr(at + 17));
  std::vector<std::string> line;
  for (std::string word; words >> word;) line.push_back(word);
  for (std::string& word : line) {
    if (word == "300") word = "1";  // the same command, for seconds instead of an hour
    if (word.rfind("geometry/", 0) == 0) word = source_path(word);
    if (word == "cases.jsonl" || word == "score.png") word = in_scratch(word);
  }
  const Ran ran = run_tool(line);
  EXPECT_EQ(ran.status, 0) << ran.err;
  EXPECT_EQ(slurp(in_scratch("score.png")).rfind("\x89PNG", 0), 0U);
}

}  // namespace
}  // namespace scrapetrace::score
