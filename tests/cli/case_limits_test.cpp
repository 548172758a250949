// What the scans of one case may take together: pixels, memory, time.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
using Words = std::vector<std::string>;

Ran tool(const std::string& command, const Words& more) {
  Words words{command, "--layout", source_path("geometry/tavvick.toml"), "--chart",
              source_path("fixtures/charts/tavvick_strip.toml")};
  words.insert(words.end(), more.begin(), more.end());
  return run_tool(words);
}

// Of a PNG, by its header (W3C, PNG, 11.2.1).
double megapixels(const std::string& png) {
  const auto number = [&](std::size_t at) {
    double out = 0;
    for (std::size_t k = at; k < at + 4; ++k) out = 256 * out + static_cast<unsigned char>(png.at(k));
    return out;
  };
  return 1e-6 * number(16) * number(20);
}

class CaseLimits : public testing::Test {
 protected:
  void SetUp() override {
    for (const char* seed : {"1", "2", "3"}) {
      scans_.push_back(scratch() + "/" + seed + ".png");
      const Ran made = tool("simulate", {"--dpi", "150", "--seed", seed, "--residue", "3:left:faceplate:3",
                                         "--force", "--out", scans_.back()});
      ASSERT_EQ(made.status, 0) << made.err;
    }
  }
  // With these limits, and that exit status, or any below 0; of each scan the first reason, empty where it
  // was analysed.
  std::vector<std::string> reasons(const Words& limits, int expected_status) {
    Words words = scans_;
    words.insert(words.end(), {"--json", "-"});
    words.insert(words.end(), limits.begin(), limits.end());
    const Ran ran = tool("locate", words);
    if (expected_status >= 0) {
      EXPECT_EQ(ran.status, expected_status) << ran.err;
    }
    std::vector<std::string> out;
    const Json answer = Json::parse(ran.out);
    for (const auto& scan : answer.at("quality")) {
      const bool refused = scan.at("verdict") == "rescan";
      out.push_back(refused ? scan.at("reasons").front().get<std::string>() : "");
    }
    return out;
  }
  Words scans_;
};

TEST_F(CaseLimits, AreWideEnoughForThree) {
  EXPECT_EQ(reasons({}, 0), (Words{"", "", ""}));
}

TEST_F(CaseLimits, OnPixelsRefuseThePagesBeyond) {
  const double one = megapixels(slurp(scans_[0]));
  const auto told = reasons({"--most-case-megapixels", std::to_string(2.5 * one)}, 1);
  ASSERT_EQ(told.size(), 3U);
  EXPECT_EQ(told[0], "");
  EXPECT_EQ(told[1], "");
  EXPECT_NE(told[2].find("raise --most-case-megapixels"), std::string::npos) << told[2];
}

TEST_F(CaseLimits, OnTimeLeaveNoneHalfJudged) {
  for (const char* seconds : {"0.001", "0.03", "0.06", "0.1", "0.2"}) {
    const auto told = reasons({"--most-case-seconds", seconds}, -1);
    ASSERT_EQ(told.size(), 3U);
    if (told == Words{"", "", ""}) continue;  // a fast computer
    for (const auto& reason : told)
      EXPECT_NE(reason.find("--most-case-seconds"), std::string::npos) << seconds << ": " << reason;
  }
  EXPECT_NE(reasons({"--most-case-seconds", "0.001"}, 1).front(), "");
  const Ran recheck = tool("recheck", {"--before", scans_[0], "--after", scans_[1], "--cleaned", "3:left",
                                       "--most-case-seconds", "0.001"});
  EXPECT_EQ(recheck.status, 1) << recheck.err;
  EXPECT_NE((recheck.out + recheck.err).find("--most-case-seconds"), std::string::npos) << recheck.err;
}

TEST_F(CaseLimits, OnMemoryLeaveNoneHalfJudged) {
  const auto told = reasons({"--most-case-memory", "1"}, 1);
  ASSERT_EQ(told.size(), 3U);
  for (const auto& reason : told)
    EXPECT_NE(reason.find("raise --most-case-memory"), std::string::npos) << reason;
  // Pictures are made by libraries that end the program when they get no memory.
  for (const char* megabytes : {"2", "4", "8", "16", "32"}) {
    Words words = scans_;
    words.insert(words.end(),
                 {"--html", scratch() + "/page.html", "--force", "--most-case-memory", megabytes});
    const Ran ran = tool("locate", words);
    EXPECT_TRUE(ran.status == 0 || ran.status == 1) << megabytes << " MB: " << ran.status << ran.err;
  }
}

TEST_F(CaseLimits, AreHeldAgainstTheirRanges) {
  for (const char* option : {"--most-case-megapixels", "--most-case-memory", "--most-case-seconds"}) {
    const Ran ran = tool("locate", {scans_[0], option, "0"});
    EXPECT_EQ(ran.status, 2);
    EXPECT_NE(ran.err.find(std::string(option) + " must lie between"), std::string::npos) << ran.err;
  }
}

}  // namespace
}  // namespace scrapetrace::cli
