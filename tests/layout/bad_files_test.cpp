// Every bad file of fixtures/ against the problems listed beside it, matched both ways.

#include <gtest/gtest.h>

#include <functional>

#include "files.h"
#include "layout/read_scenario.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace {
namespace {

namespace fs = std::filesystem;

Problems problems_of_layout(const std::string& text) {
  const auto result = layout::read_layout(text, "bad.toml");
  return result ? Problems{} : result.problems();
}

Problems problems_of_chart(const std::string& text) {
  static const Layout layout = test::good_layout("hobdrel");
  const auto result = layout::read_chart(text, "bad.toml", &layout);
  return result ? Problems{} : result.problems();
}

Problems problems_of_scenario(const std::string& text) {
  static const Layout layout = test::good_layout("hobdrel");
  const auto result = layout::read_scenario(text, "bad.toml", layout);
  return result ? Problems{} : result.problems();
}

Problems problems_of_limits(const std::string& text) {
  const auto result = layout::read_limits(text, "bad.toml");
  return result ? Problems{} : result.problems();
}

std::vector<std::string> lines_of(const fs::path& path) {
  std::istringstream text(test::text_of(path));
  std::vector<std::string> out;
  for (std::string line; std::getline(text, line);) {
    if (!line.empty()) out.push_back(line);
  }
  return out;
}

// An expected line is "line:column: part of the sentence".
bool matches(const Problem& problem, const std::string& expected) {
  const std::string place = std::to_string(problem.line) + ":" + std::to_string(problem.column) + ": ";
  return expected.starts_with(place) && problem.what.find(expected.substr(place.size())) != std::string::npos;
}

// What differs between the problems found and those expected; empty when each has its counterpart.
std::string differences(const Problems& found, std::vector<std::string> expected) {
  std::string out;
  for (const auto& problem : found) {
    const auto match = std::find_if(expected.begin(), expected.end(),
                                    [&](const auto& line) { return matches(problem, line); });
    if (match == expected.end()) {
      out += "not expected: " + to_string(problem) + "\n";
    } else {
      expected.erase(match);
    }
  }
  for (const auto& line : expected) out += "not found: " + line + "\n";
  return out;
}

void check_folder(const std::string& name, const std::function<Problems(const std::string&)>& problems_of) {
  for (const auto& path : test::toml_files(test::source_dir() / "fixtures" / name)) {
    SCOPED_TRACE(path.filename().string());
    const auto expected = lines_of(fs::path(path).replace_extension(".expected"));
    EXPECT_FALSE(expected.empty());
    const auto found = problems_of(test::text_of(path));
    EXPECT_EQ(differences(found, expected), "");
    for (const auto& problem : found) EXPECT_EQ(problem.file, "bad.toml");
  }
}

TEST(BadFiles, LayoutsAreRefusedWithTheProblemsExpected) {
  check_folder("bad_layouts", problems_of_layout);
}

TEST(BadFiles, ChartsAreRefusedWithTheProblemsExpected) {
  check_folder("bad_charts", problems_of_chart);
}

TEST(BadFiles, ScenariosAreRefusedWithTheProblemsExpected) {
  check_folder("bad_scenarios", problems_of_scenario);
}

TEST(BadFiles, LimitsAreRefusedWithTheProblemsExpected) {
  check_folder("bad_limits", problems_of_limits);
}

TEST(BadFiles, TheComparisonMissesNothing) {
  const Problems found{{"f", 3, 7, "width is 2; allowed: 3 to 4."}};
  EXPECT_EQ(differences(found, {"3:7: width is 2"}), "");
  EXPECT_NE(differences(found, {}), "");
  EXPECT_NE(differences(found, {"3:8: width is 2"}), "");
  EXPECT_NE(differences(found, {"3:7: width is 3"}), "");
  EXPECT_NE(differences(found, {"3:7: width is 2", "3:7: width is 2"}), "");
  EXPECT_NE(differences({}, {"3:7: width is 2"}), "");
}

TEST(BadFiles, AnEmptyFolderIsNotASuccess) {
  const auto folder = fs::path(testing::TempDir()) / "scrapetrace_no_fixtures";
  fs::create_directories(folder);
  EXPECT_THROW(test::toml_files(folder), std::runtime_error);
}

}  // namespace
}  // namespace scrapetrace
