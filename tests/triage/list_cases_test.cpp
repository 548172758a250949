#include "triage/list_cases.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

namespace scrapetrace::triage {
namespace {

namespace fs = std::filesystem;
using Listing = std::set<std::pair<std::string, std::string>>;

fs::path fresh(const std::string& name) {
  const fs::path folder = fs::path(testing::TempDir()) / (name + std::to_string(getpid()));
  fs::remove_all(folder);
  fs::create_directories(folder);
  return folder;
}

void touch(const fs::path& file) {
  fs::create_directories(file.parent_path());
  std::ofstream(file) << "x";
}

TEST(ListCases, PrefixesAreTheCases) {
  EXPECT_EQ(case_of("unit07-2.tif"), "unit07");
  EXPECT_EQ(case_of("a/b/unit07_12.png"), "unit07");
  EXPECT_EQ(case_of("unit07.tif"), "unit07");
  EXPECT_EQ(case_of("unit-left.tif"), "unit-left");
  EXPECT_EQ(case_of("-3.tif"), "-3");
}

TEST(ListCases, AFolderIsListedWithoutLeavingIt) {
  const fs::path root = fresh("listing");
  const fs::path outside = fresh("outside");
  touch(outside / "secret.png");
  touch(root / "m1-1.png");
  touch(root / "m1-2.TIF");
  touch(root / "unit x" / "first.png");
  touch(root / "unit x" / "deep" / "second.jpg");
  touch(root / "notes.txt");
  fs::create_symlink(outside / "secret.png", root / "stolen.png");
  fs::create_directory_symlink(outside, root / "elsewhere");
  fs::create_symlink(root / "m1-1.png", root / "again-1.png");
  Listing listing;
  const auto left_out =
      list_folder(root.string(), [&](const auto& name, const auto& file) { listing.emplace(name, file); });
  ASSERT_TRUE(left_out.ok());
  EXPECT_EQ(left_out->passed_over.size(), 2U);
  EXPECT_EQ(listing, (Listing{{"m1", "m1-1.png"},
                              {"m1", "m1-2.TIF"},
                              {"again", "again-1.png"},
                              {"unit x", "unit x/first.png"},
                              {"unit x", "unit x/deep/second.jpg"}}));
}

TEST(ListCases, AFolderWithALikeNameIsOutside) {
  const fs::path root = fresh("twin");
  const fs::path twin(root.string() + "-b");
  fs::remove_all(twin);
  touch(twin / "a.png");
  fs::create_symlink(twin / "a.png", root / "a.png");
  const auto left_out = list_folder(root.string(), [](const auto&, const auto&) { FAIL(); });
  ASSERT_TRUE(left_out.ok());
  EXPECT_EQ(left_out->passed_over.size(), 1U);
}

TEST(ListCases, AManifestNamesCasesOrLeavesThemToPrefixes) {
  std::istringstream lines("# today\n\nunit 1\tscans/a.tif\r\nb-1.tif\n");
  Listing listing;
  EXPECT_TRUE(
      list_manifest(lines, "m", [&](const auto& n, const auto& f) { listing.emplace(n, f); }).empty());
  EXPECT_EQ(listing, (Listing{{"unit 1", "scans/a.tif"}, {"b", "b-1.tif"}}));
}

TEST(ListCases, BadLinesOfAManifestAreAllTold) {
  std::istringstream lines("\tno-case.tif\nfine.tif\nno-file\t\na\tb\tc\n");
  const auto problems = list_manifest(lines, "m", [](const auto&, const auto&) {});
  ASSERT_EQ(problems.size(), 3U);
  EXPECT_EQ(problems[0].line, 1);
  EXPECT_EQ(problems[1].line, 3);
  EXPECT_EQ(problems[2].line, 4);
}

TEST(ListCases, AManifestHasLinesOfAModestLength) {
  for (const std::string& bad : {std::string(100000, 'a'), std::string("a\0b.tif", 7)}) {
    std::istringstream lines("fine.tif\n" + bad);
    const auto problems = list_manifest(lines, "m", [](const auto&, const auto&) {});
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].line, 2);
  }
}

}  // namespace
}  // namespace scrapetrace::triage
