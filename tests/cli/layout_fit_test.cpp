// A layout for a machine that is not as its layout says, through the real binary.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

namespace fs = std::filesystem;

const std::string kStart = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  const auto at = text.find(what);
  EXPECT_NE(at, std::string::npos) << what;
  return text.replace(at, what.size(), by);
}

double value_after(const std::string& text, const std::string& what) {
  const auto at = text.find(what);
  EXPECT_NE(at, std::string::npos) << what;
  return at == std::string::npos ? 0 : std::stod(text.substr(at + what.size()));
}

// Two jets of every head off, on a machine that stands elsewhere than geometry/tavvick.toml says.
const std::string& comb() {
  static const std::string scan = [] {
    std::string machine = slurp(kStart);
    machine = replaced(machine, "offset_mm = -0.06", "offset_mm = -0.02");
    machine = replaced(machine, "sheet_left_on_drum_mm = 220.0", "sheet_left_on_drum_mm = 221.3");
    machine = replaced(machine, "scale_cross = 1.001", "scale_cross = 1.003");
    std::ofstream(scratch() + "/true.toml") << machine;
    std::ofstream scenario(scratch() + "/off.toml");
    scenario << "schema = \"scrapetrace.scenario/1\"\n";
    for (const auto& [head, jet] : std::vector<std::pair<int, int>>{
             {2, 12}, {2, 40}, {3, 20}, {3, 44}, {4, 12}, {4, 35}, {5, 16}, {5, 40}, {6, 25}, {6, 40}})
      scenario << "[[jet]]\nhead = \"" << head << "\"\nink = \"black\"\njet = " << jet << '\n';
    scenario.close();
    const std::string file = scratch() + "/comb.png";
    const Ran ran = run_tool({"simulate", "--layout", scratch() + "/true.toml", "--chart", kChart,
                              "--scenario", scratch() + "/off.toml", "--dpi", "300", "--out", file});
    EXPECT_EQ(ran.status, 0) << ran.err;
    return file;
  }();
  return scan;
}

std::vector<std::string> fit_words(const std::string& out, const std::string& wrong = "3:44") {
  return {"layout", "fit", "--layout", kStart, "--chart", kChart, "--out", out,    "--off", "2:12", "2:40",
          "3:20",   wrong, "4:12",     "4:35", "5:16",    "5:40", "6:25",  "6:40", "--",    comb()};
}

TEST(LayoutFit, BringsALayoutCloserToTheMachineThatPrintedAScan) {
  const std::string out = scratch() + "/fitted.toml";
  const Ran ran = run_tool(fit_words(out));
  ASSERT_EQ(ran.status, 0) << ran.err << ran.out;
  EXPECT_NE(ran.out.find("transfer.mirrored = true; was true; probability 1.0000"), std::string::npos)
      << ran.out;
  EXPECT_NE(ran.out.find("head \"1\": first_jet_px = 130: kept: no place was known on it"), std::string::npos)
      << ran.out;
  const std::string fitted = slurp(out);
  EXPECT_NEAR(value_after(fitted, "\nscale_cross = "), 1.003, 0.0006);
  EXPECT_NEAR(value_after(fitted, "\nsheet_left_on_drum_mm = "), 221.3, 0.1);
  // "lower" stands 0.02 mm off where "middle" is.
  const auto lower = fitted.find("name = \"lower\"");
  ASSERT_NE(lower, std::string::npos);
  EXPECT_NEAR(value_after(fitted.substr(lower), "offset_mm = "), -0.02, 0.01);
  EXPECT_EQ(run_tool({"layout", out}).status, 0);
  // With - it stands alone on standard output, the same bytes.
  const Ran piped = run_tool(fit_words("-"));
  EXPECT_EQ(piped.out, fitted);
}

TEST(LayoutFit, TakesPlacesFromAFile) {
  const std::string places = scratch() + "/places.toml";
  std::ofstream(places)
      << "schema = \"scrapetrace.places/1\"\n[[jet]]\nhead = \"2\"\njet = 12\nx_sheet_mm = 168.1\n"
         "[[scrape]]\nhead = \"3\"\nside = \"left\"\noutward_mm = 1.0\nx_sheet_mm = 143.0\n";
  const Ran ran = run_tool({"layout", "fit", "--layout", kStart, "--seen", places});
  EXPECT_EQ(ran.status, 0) << ran.err;
  EXPECT_NE(ran.out.find("transfer.scale_cross = 1.00100: kept: no head has two places apart"),
            std::string::npos)
      << ran.out;
  std::ofstream(places) << "schema = \"scrapetrace.places/1\"\n[[jet]]\nhead = \"2\"\n";
  const Ran bad = run_tool({"layout", "fit", "--layout", kStart, "--seen", places});
  EXPECT_EQ(bad.status, 2);
  EXPECT_NE(bad.err.find("places.toml:2:1"), std::string::npos) << bad.err;
}

TEST(LayoutFit, LeavesTheOldCommandAsItWasAndRefusesMixtures) {
  EXPECT_EQ(run_tool({"layout", kStart}).status, 0);
  EXPECT_EQ(run_tool({"layout", kStart, "--out", "x"}).status, 2);
  EXPECT_EQ(run_tool({"layout", kStart, kStart}).status, 2);
  const Ran nothing = run_tool({"layout", "fit", "--layout", kStart});
  EXPECT_EQ(nothing.status, 2);
  EXPECT_NE(nothing.err.find("nothing is known"), std::string::npos);
  const Ran jet = run_tool({"layout", "fit", "--layout", kStart, "--off", "3", "--", "scan.png"});
  EXPECT_EQ(jet.status, 2);
  EXPECT_NE(jet.err.find("--off takes HEAD:JET"), std::string::npos);
  const Ran none =
      run_tool({"layout", "fit", "--layout", kStart, "--off", "9:3", "1:9999", "--", "scan.png"});
  EXPECT_EQ(none.status, 2);
  EXPECT_NE(none.err.find("--off 9:3: no head is called \"9\""), std::string::npos) << none.err;
  EXPECT_NE(none.err.find("--off 1:9999: that head's jets are 0 to "), std::string::npos) << none.err;
  const auto here = fs::current_path();
  fs::current_path(scratch());
  fs::copy_file(kStart, "fit", fs::copy_options::overwrite_existing);
  EXPECT_EQ(run_tool({"layout", "./fit"}).status, 0);
  fs::current_path(here);
}

}  // namespace
}  // namespace scrapetrace::cli
