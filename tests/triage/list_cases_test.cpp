#include "triage/list_cases.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <functional>
#include <set>
#include <sstream>
#include <tuple>

namespace scrapetrace::triage {
namespace {

namespace fs = std::filesystem;
using Listing = std::set<std::pair<std::string, std::string>>;
using Passed =
    std::set<std::tuple<std::string, std::string, std::string>>;  // case, file, the first words of why

struct Met {
  Listing files;
  Passed others;
  void operator()(const Input& input) {
    if (input.why.empty()) {
      files.emplace(input.name, input.file);
    } else {
      others.emplace(input.name, input.file, input.why.substr(0, 20));
    }
  }
};

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
  Met met;
  EXPECT_TRUE(list_folder(root.string(), std::ref(met)).empty());
  EXPECT_EQ(met.files, (Listing{{"m1", "m1-1.png"},
                                {"m1", "m1-2.TIF"},
                                {"again", "again-1.png"},
                                {"notes", "notes.txt"},
                                {"unit x", "unit x/first.png"},
                                {"unit x", "unit x/deep/second.jpg"}}));
  EXPECT_EQ(met.others, (Passed{{"stolen", "stolen.png", "is a link that leads"},
                                {"elsewhere", "elsewhere", "is a link that leads"}}));
}

// Each of these was a customer that nobody answered.
TEST(ListCases, NothingInAFolderIsPassedOver) {
  const fs::path root = fresh("odd");
  touch(root / "unit1" / "scan");
  touch(root / "unit2" / "scan.jfif");
  touch(root / "unit3.bmp");
  touch(root / ".hidden");
  fs::create_directories(root / "unit4");
  fs::create_directories(root / "unit5" / "deep" / "deeper");
  fs::create_symlink(root / "nowhere", root / "unit6");
  fs::create_directory_symlink(root / "unit1", root / "unit7");
  ASSERT_EQ(mkfifo((root / "unit8").c_str(), 0600), 0);
  Met met;
  EXPECT_TRUE(list_folder(root.string(), std::ref(met)).empty());
  EXPECT_EQ(met.files, (Listing{{"unit1", "unit1/scan"},
                                {"unit2", "unit2/scan.jfif"},
                                {"unit3", "unit3.bmp"},
                                {".hidden", ".hidden"}}));
  EXPECT_EQ(met.others, (Passed{{"unit4", "unit4", "is an empty folder"},
                                {"unit5", "unit5/deep/deeper", "is an empty folder"},
                                {"unit6", "unit6", "is a link to nothing"},
                                {"unit7", "unit7", "is a link to another"},
                                {"unit8", "unit8", "is a pipe, a socket "}}));
}

TEST(ListCases, AFolderWithALikeNameIsOutside) {
  const fs::path root = fresh("twin");
  const fs::path twin(root.string() + "-b");
  fs::remove_all(twin);
  touch(twin / "a.png");
  fs::create_symlink(twin / "a.png", root / "a.png");
  Met met;
  EXPECT_TRUE(list_folder(root.string(), std::ref(met)).empty());
  EXPECT_TRUE(met.files.empty());
  EXPECT_EQ(met.others, (Passed{{"a", "a.png", "is a link that leads"}}));
}

TEST(ListCases, AManifestNamesCasesOrLeavesThemToPrefixes) {
  std::istringstream lines("# today\n\nunit 1\tscans/a.tif\r\nb-1.tif\n");
  Listing listing;
  EXPECT_TRUE(list_manifest(lines, "m", [&](const Input& input) {
                listing.emplace(input.name, input.file);
                EXPECT_EQ(input.standing, Standing::named);
              }).empty());
  EXPECT_EQ(listing, (Listing{{"unit 1", "scans/a.tif"}, {"b", "b-1.tif"}}));
}

TEST(ListCases, BadLinesOfAManifestAreAllTold) {
  std::istringstream lines("\tno-case.tif\nfine.tif\nno-file\t\na\tb\tc\n");
  const auto problems = list_manifest(lines, "m", [](const Input&) {});
  ASSERT_EQ(problems.size(), 3U);
  EXPECT_EQ(problems[0].line, 1);
  EXPECT_EQ(problems[1].line, 3);
  EXPECT_EQ(problems[2].line, 4);
}

TEST(ListCases, AManifestHasLinesOfAModestLength) {
  for (const std::string& bad : {std::string(100000, 'a'), std::string("a\0b.tif", 7)}) {
    std::istringstream lines("fine.tif\n" + bad);
    const auto problems = list_manifest(lines, "m", [](const Input&) {});
    ASSERT_EQ(problems.size(), 1U);
    EXPECT_EQ(problems[0].line, 2);
  }
}

}  // namespace
}  // namespace scrapetrace::triage
