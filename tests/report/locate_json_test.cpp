#include <gtest/gtest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "report/sample.h"
#include "scrapetrace/report.h"

namespace scrapetrace::report {
namespace {

using Json = nlohmann::json;

Json parsed(const Findings& findings) {
  return Json::parse(locate_json(sample::layout(), findings, {"9.8.7", {}}));
}

TEST(LocateJson, HoldsTheContractsFields) {
  const Json json = parsed(sample::findings());
  EXPECT_EQ(json["schema"], "scrapetrace.locate/1");
  EXPECT_EQ(json["tool_version"], "9.8.7");
  for (const auto* list : {"targets", "streaks", "other", "unchecked", "registration", "quality"}) {
    EXPECT_TRUE(json[list].is_array()) << list;
  }
}

TEST(LocateJson, TargetsAreRankedWithRivals) {
  const Json target = parsed(sample::findings())["targets"][0];
  EXPECT_EQ(target["rank"], 1);
  EXPECT_EQ(target["head"], "3");
  EXPECT_EQ(target["side"], "left");
  EXPECT_EQ(target["surface"], "faceplate");
  EXPECT_EQ(target["probability"], 0.82);
  EXPECT_EQ(target["x_drum_mm"], 160.1);
  EXPECT_EQ(target["effort_min"], 4.0);
  EXPECT_EQ(target["streaks"], Json::array({1}));
  EXPECT_EQ(target["rivals"][0]["head"], "2");
  EXPECT_EQ(target["rivals"][0]["probability"], 0.11);
  EXPECT_TRUE(target["rivals"][0]["tell_apart"].is_string());
  EXPECT_EQ(parsed(sample::findings())["targets"][1]["rank"], 2);
}

TEST(LocateJson, StreaksGiveEveryCauseAProbability) {
  const Json streak = parsed(sample::findings())["streaks"][1];
  EXPECT_EQ(streak["id"], 1);
  EXPECT_EQ(streak["x_sheet_mm"], 164.2);
  EXPECT_EQ(streak["width_mm"], 3.4);
  EXPECT_EQ(streak["y_sheet_mm"], (Json::array({Json::array({14.0, 195.0}), Json::array({203.0, 392.0})})));
  EXPECT_EQ(streak["loss"], 0.31);
  EXPECT_EQ(streak["sigma_mm"], 0.12);
  double sum = 0;
  for (const auto* cause : {"residue", "dead_jet", "drum_scratch", "blade_haze", "scanner_line",
                            "seam_mismatch", "sheet_damage", "unknown"}) {
    ASSERT_TRUE(streak["causes"][cause].is_number()) << cause;
    sum += streak["causes"][cause].get<double>();
  }
  EXPECT_EQ(streak["causes"].size(), kCauseCount);
  EXPECT_NEAR(sum, 1, kCauseCount * 0.00005);  // each is rounded to four decimals
  EXPECT_EQ(streak["residue"]["contact"], "upstream");
  EXPECT_EQ(streak["residue"]["fit"], "good");
  EXPECT_TRUE(streak["jet"].is_null());
}

TEST(LocateJson, OtherNamesTheDeadJet) {
  const Json other = parsed(sample::findings())["other"];
  ASSERT_EQ(other.size(), 1U);
  EXPECT_EQ(other[0]["cause"], "dead_jet");
  EXPECT_EQ(other[0]["head"], "2");
  EXPECT_EQ(other[0]["ink"], "cyan");
  EXPECT_EQ(other[0]["jet"], 57);
  EXPECT_EQ(other[0]["streak"], 2);
}

TEST(LocateJson, OtherNamesTheSeamAndWhetherALineKeptItsColumn) {
  Findings findings = sample::findings();
  findings.streaks = {sample::other_streak(1, 60, Cause::seam_mismatch),
                      sample::other_streak(2, 90, Cause::scanner_line)};
  findings.targets.clear();
  Json other = parsed(findings)["other"];
  EXPECT_EQ(other[0]["cause"], "seam_mismatch");
  EXPECT_EQ(other[0]["left_head"], "2");
  EXPECT_EQ(other[0]["right_head"], "3");
  EXPECT_EQ(other[0]["gap_mm"], -0.084);
  EXPECT_TRUE(other[1]["kept_scan_column"].is_null());
  findings.streaks[1].kept_scan_column = true;
  EXPECT_EQ(parsed(findings)["other"][1]["kept_scan_column"], true);
}

TEST(LocateJson, WidthAndLossMayBeKnownAsTheirProductOnly) {
  Findings findings = sample::findings();
  EXPECT_EQ(parsed(findings)["streaks"][1]["width_resolved"], true);
  Streak& streak = findings.streaks[1];
  streak.width_resolved = streak.residue->width_resolved = false;
  streak.width_times_loss_mm = 0.21;
  streak.residue->width_times_loss_mm = 0.034;
  streak.residue->width_times_loss_sigma_mm = 0.006;
  const Json json = parsed(findings)["streaks"][1];
  EXPECT_EQ(json["width_resolved"], false);
  EXPECT_EQ(json["width_times_loss_mm"], 0.21);
  EXPECT_EQ(json["residue"]["width_resolved"], false);
  EXPECT_EQ(json["residue"]["width_times_loss_mm"], 0.034);
  EXPECT_EQ(json["residue"]["width_times_loss_sigma_mm"], 0.006);
}

TEST(LocateJson, UncheckedGivesBothFrames) {
  const Json gap = parsed(sample::findings())["unchecked"][0];
  EXPECT_EQ(gap["x_drum_mm"], Json::array({0.0, 5.0}));
  EXPECT_EQ(gap["x_sheet_mm"], Json::array({320.0, 325.0}));  // x = 325 - X for this layout
  EXPECT_EQ(gap["targets"][0]["fraction"], 0.4);
}

TEST(LocateJson, ScansReportRegistrationAndQuality) {
  Findings findings = sample::findings();
  ScanReport failed;
  failed.file = "torn.png";
  failed.verdict = QualityVerdict::rescan;
  failed.reasons = {"Torn."};
  findings.scans.push_back(failed);
  const Json json = parsed(findings);
  ASSERT_EQ(json["registration"].size(), 1U);
  EXPECT_EQ(json["registration"][0]["file"], "proof-17.tif");
  EXPECT_EQ(json["registration"][0]["datum"], "patch_edges");
  for (const auto* key : {"scale_x", "scale_y", "skew_deg", "predicted_error_mm", "dpi"}) {
    EXPECT_TRUE(json["registration"][0][key].is_number()) << key;
  }
  ASSERT_EQ(json["quality"].size(), 2U);
  EXPECT_EQ(json["quality"][0]["verdict"], "ok");
  EXPECT_EQ(json["quality"][1]["verdict"], "rescan");
  EXPECT_EQ(json["quality"][1]["analysed"], false);
  EXPECT_EQ(json["quality"][1]["reasons"], Json::array({"Torn."}));
}

TEST(LocateJson, SurvivesNamesThatAreNotUtf8AndNumbersThatAreNone) {
  Findings findings = sample::findings();
  findings.scans[0].file = "a\xFF\"b\n";
  findings.targets[0].x_drum_mm = std::numeric_limits<double>::quiet_NaN();
  findings.targets[1].outward_mm = -0.00001;
  const std::string text = locate_json(sample::layout(), findings, {"1", {}});
  const Json json = Json::parse(text);
  EXPECT_EQ(json["quality"][0]["file"], "a\xEF\xBF\xBD\"b\n");
  EXPECT_TRUE(json["targets"][0]["x_drum_mm"].is_null());
  EXPECT_EQ(text.find("nan"), std::string::npos);
  EXPECT_EQ(text.find("-0.0"), std::string::npos);
}

TEST(LocateJson, IsTheSameEveryTime) {
  const auto findings = sample::findings();
  EXPECT_EQ(locate_json(sample::layout(), findings, {"1", {}}),
            locate_json(sample::layout(), findings, {"1", {}}));
}

}  // namespace
}  // namespace scrapetrace::report
