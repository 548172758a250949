// Photographs, textures and pages of text, from an installed package: none shows a target, each is said not
// to have been looked at, and why.

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

std::vector<std::string> real_pictures() {
  const std::string folder = scratch() + "/real";
  std::filesystem::create_directories(folder);
  EXPECT_EQ(
      std::system(
          ("/usr/bin/python3 '" + source_path("tests/cli/lay_on_sheets.py") + "' '" + folder + "'").c_str()),
      0);
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

void expect_reasons_only(const std::string& machine, const std::vector<std::string>& files) {
  SCOPED_TRACE(machine);
  for (const bool with_chart : {false, true}) {
    std::vector<std::string> words = {"locate", "--layout", source_path("geometry/" + machine + ".toml"),
                                      "--json", "-"};
    if (with_chart)
      words.insert(words.end(), {"--chart", source_path("geometry/charts/" + machine + "_bands.toml")});
    words.insert(words.end(), files.begin(), files.end());
    const Ran ran = run_tool(words);
    EXPECT_EQ(ran.status, 1) << machine;
    const auto found = nlohmann::json::parse(ran.out);
    for (const auto& target : found["targets"]) EXPECT_LE(target["probability"].get<double>(), 0.2);
    ASSERT_EQ(found["quality"].size(), files.size());
    for (const auto& scan : found["quality"]) {
      EXPECT_EQ(scan["verdict"], "rescan") << scan["file"];
      ASSERT_FALSE(scan["reasons"].empty()) << scan["file"];
      EXPECT_GT(scan["reasons"][0].get<std::string>().size(), 20U);
    }
  }
}

// One test, since laying the pictures on sheets takes as long as a machine's turn.
TEST(RealPictures, GiveNoTargetButAReason) {
  const auto files = real_pictures();
  ASSERT_GE(files.size(), 15U);
  for (const char* machine : {"hobdrel", "quennip", "tavvick"}) expect_reasons_only(machine, files);
}

}  // namespace
}  // namespace scrapetrace::cli
