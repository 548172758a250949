// `page` as a user runs it: files that fit together, refusals that say what to do.

#include <gtest/gtest.h>

#include <filesystem>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

const std::string kLayout = source_path("geometry/tavvick.toml");

std::string temporary(const std::string& name) {
  return scratch() + "/page_" + name;
}

TEST(PageCommand, WritesEveryFileAndSaysWhatStaysUnseen) {
  const auto pdf = temporary("a4.pdf");
  const auto chart = temporary("a4.toml");
  const auto tiff = temporary("a4.tif");
  const auto strip = temporary("strip.pdf");
  const auto run = run_tool({"page", "--layout", kLayout, "--sheet", "A4", "--pdf", pdf, "--chart", chart,
                             "--tiff", tiff, "--dpi", "100", "--strip", strip});
  ASSERT_EQ(run.status, 0) << run.err;
  EXPECT_NE(run.out.find("head 1, left side, insulation: all of it"), std::string::npos) << run.out;
  EXPECT_NE(run.out.find("100 mm bar"), std::string::npos);
  EXPECT_EQ(slurp(pdf).substr(0, 5), "%PDF-");
  EXPECT_EQ(slurp(strip).substr(0, 5), "%PDF-");
  EXPECT_GT(std::filesystem::file_size(tiff), 1000U);
  // The chart serves the press and locate as it is.
  const auto scan = temporary("scan.png");
  const auto made = run_tool({"simulate", "--layout", kLayout, "--chart", chart, "--dpi", "150", "--residue",
                              "2:right:faceplate:2", "--out", scan});
  ASSERT_EQ(made.status, 0) << made.err;
  const auto found = run_tool({"locate", "--layout", kLayout, "--chart", chart, "--json", "-", scan});
  EXPECT_EQ(found.status, 0) << found.err;
  EXPECT_NE(found.out.find("\"datum\": \"tags\""), std::string::npos) << found.out.substr(0, 3000);
}

TEST(PageCommand, RefusesWhatItCannotMake) {
  const auto refused = [](std::vector<std::string> words, const std::string& says) {
    words.insert(words.begin(), "page");
    const auto run = run_tool(words);
    EXPECT_EQ(run.status, 2) << says;
    EXPECT_NE(run.err.find(says), std::string::npos) << run.err;
  };
  const auto pdf = temporary("none.pdf");
  refused({"--sheet", "a4", "--pdf", pdf}, "--layout is missing");
  refused({"--layout", kLayout, "--pdf", pdf}, "--sheet is missing");
  refused({"--layout", kLayout, "--sheet", "a4"}, "nothing to write");
  refused({"--layout", kLayout, "--sheet", "a44", "--pdf", pdf}, "sra3");
  refused({"--layout", kLayout, "--sheet", "210x90", "--pdf", pdf}, "longer sheet");
  refused({"--layout", kLayout, "--sheet", "a4", "--tiff", temporary("x.png")}, ".tif");
  refused({"--layout", kLayout, "--sheet", "a4", "--pdf", "/nowhere/x.pdf"}, "/nowhere");
  EXPECT_FALSE(std::filesystem::exists(pdf));
}

}  // namespace
}  // namespace scrapetrace::cli
