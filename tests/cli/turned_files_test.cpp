// Orientation tags and files of several pages, through the real binary: not only opened, but the same answer.

#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");
constexpr double kSamePlace_mm = 0.03;  // of two JPEGs whose blocks lie otherwise; half a column

std::string rendered(const std::string& seed, const std::vector<std::string>& faults) {
  std::string scan = scratch() + "/sheet" + seed + ".png";
  std::vector<std::string> words = {"simulate", "--layout", kLayout, "--chart", kChart, "--dpi",
                                    "300",      "--skew",   "0.6",   "--seed",  seed,   "--machine-seed",
                                    "71",       "--out",    scan};
  words.insert(words.end(), faults.begin(), faults.end());
  const Ran ran = run_tool(words);
  EXPECT_EQ(ran.status, 0) << ran.err;
  return scan;
}

void make(const std::string& words) {
  ASSERT_EQ(
      std::system(("/usr/bin/python3 '" + source_path("tests/cli/turned_files.py") + "' " + words).c_str()),
      0);
}

Json located(const std::vector<std::string>& scans) {
  std::vector<std::string> words = {"locate", "--layout", kLayout, "--chart", kChart, "--json", "-"};
  words.insert(words.end(), scans.begin(), scans.end());
  const Ran ran = run_tool(words);
  EXPECT_EQ(ran.status, 0) << ran.err;
  return Json::parse(ran.out);
}

TEST(TurnedFiles, OrientationTagsGiveTheSameAnswer) {
  const std::string scan = rendered("3", {"--residue", "3:left:faceplate:1"});
  make("turns '" + scan + "' '" + scratch() + "'");
  const Json upright = located({scan});
  ASSERT_FALSE(upright["targets"].empty());
  EXPECT_EQ(upright["targets"][0]["head"], "3");
  EXPECT_EQ(upright["targets"][0]["side"], "left");
  for (int tag = 1; tag <= 8; ++tag) {
    SCOPED_TRACE(tag);
    const Json tiff = located({scratch() + "/" + std::to_string(tag) + ".tif"});
    // Whatever the tag undoes is undone before anything is looked at: the same numbers to the last digit.
    for (const char* part : {"targets", "streaks", "unchecked", "other"})
      EXPECT_EQ(tiff[part], upright[part]) << part;
    EXPECT_EQ(tiff["registration"][0]["ways_up"], upright["registration"][0]["ways_up"]);
    EXPECT_EQ(tiff["quality"][0]["width_px"], upright["quality"][0]["width_px"]);
    EXPECT_EQ(tiff["quality"][0]["verdict"], upright["quality"][0]["verdict"]);
    const Json jpeg = located({scratch() + "/" + std::to_string(tag) + ".jpg"});
    ASSERT_FALSE(jpeg["targets"].empty());
    EXPECT_EQ(jpeg["targets"][0]["head"], "3");
    EXPECT_EQ(jpeg["targets"][0]["side"], "left");
    EXPECT_NEAR(jpeg["targets"][0]["x_drum_mm"].get<double>(),
                upright["targets"][0]["x_drum_mm"].get<double>(), kSamePlace_mm);
    EXPECT_EQ(jpeg["registration"][0]["turn_deg"], 0);
    EXPECT_EQ(jpeg["registration"][0]["face_mirrored"], false);
  }
}

TEST(TurnedFiles, PagesAreScansOfTheirOwn) {
  const std::vector<std::string> residue = {"--residue", "4:right:faceplate:1"};
  const std::vector<std::string> scans = {rendered("11", residue), rendered("12", residue),
                                          rendered("13", residue)};
  make("pages '" + scratch() + "' '" + scans[0] + "' '" + scans[1] + "' '" + scans[2] + "'");
  const Json apart = located(scans);
  ASSERT_FALSE(apart["targets"].empty());
  EXPECT_EQ(apart["targets"][0]["head"], "4");
  for (const char* name : {"pages.tif", "pages.pdf"}) {
    SCOPED_TRACE(name);
    const std::string file = scratch() + "/" + name;
    const Json together = located({file});
    for (const char* part : {"targets", "streaks", "unchecked"})
      EXPECT_EQ(together[part], apart[part]) << part;
    ASSERT_EQ(together["quality"].size(), 3U);
    ASSERT_EQ(together["registration"].size(), 3U);
    for (std::size_t k = 0; k < 3; ++k) {
      EXPECT_EQ(together["quality"][k]["file"], file + "[" + std::to_string(k + 1) + "]");
      EXPECT_EQ(together["quality"][k]["issues"], apart["quality"][k]["issues"]);
      EXPECT_EQ(together["quality"][k]["reasons"], apart["quality"][k]["reasons"]);
      EXPECT_EQ(together["registration"][k]["skew_deg"], apart["registration"][k]["skew_deg"]);
    }
    for (const std::size_t k : {0U, 2U})
      EXPECT_EQ(located({file + "[" + std::to_string(k + 1) + "]"})["streaks"],
                located({scans[k]})["streaks"]);
  }
}

}  // namespace
}  // namespace scrapetrace::cli
