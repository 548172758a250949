// The same scan under two names is one witness: refused where it was named, left out where it was met in a
// heap.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
using Words = std::vector<std::string>;
namespace fs = std::filesystem;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");

Ran tool(const std::string& command, const Words& more) {
  Words words{command, "--layout", kLayout, "--chart", kChart};
  words.insert(words.end(), more.begin(), more.end());
  return run_tool(words);
}

class Copies : public testing::Test {
 protected:
  void SetUp() override {
    ASSERT_EQ(tool("simulate", {"--dpi", "150", "--residue", "3:left:faceplate:3", "--out", scan_}).status,
              0);
    ASSERT_EQ(tool("simulate", {"--dpi", "150", "--seed", "9", "--out", other_}).status, 0);
    fs::copy_file(scan_, copy_);
  }
  void expect_refused(const std::string& command, const Words& words, const std::string& file,
                      const std::string& reason) const {
    const Ran ran = tool(command, words);
    EXPECT_EQ(ran.status, 2) << command << ": " << ran.out;
    EXPECT_TRUE(ran.out.empty()) << command;
    EXPECT_NE(ran.err.find(file + ": holds the same bytes as " + scan_ + "; " + reason), std::string::npos)
        << command << ": " << ran.err;
  }

  const std::string at_ = scratch();
  const std::string scan_ = at_ + "/a-1.png";
  const std::string copy_ = at_ + "/a-2.png";
  const std::string other_ = at_ + "/b-1.png";
};

TEST_F(Copies, ThatAreNamedAreRefused) {
  const std::string twice = "it would count twice: give each scan once";
  const std::string limits = source_path("fixtures/limits/proof_first_class.toml");
  expect_refused("locate", {scan_, copy_}, copy_, twice);
  expect_refused("locate", {scan_, "--before", copy_}, copy_, twice);
  expect_refused("locate", {"--same-sheet", scan_, copy_}, copy_, twice);
  expect_refused("accept", {"--limits", limits, scan_, other_, copy_}, copy_, twice);
  expect_refused("recheck", {"--before", scan_, copy_, "--after", other_, "--cleaned", "3:left"}, copy_,
                 twice);
  expect_refused("recheck", {"--before", scan_, "--after", copy_, "--cleaned", "3:left"}, copy_,
                 "name a scan from before the work and one from after it");
  EXPECT_EQ(tool("locate", {scan_, other_}).status, 0);
  const Ran fit = run_tool({"layout", "fit", "--layout", kLayout, "--off", "3:20", scan_, copy_});
  EXPECT_EQ(fit.status, 2);
  EXPECT_NE(fit.err.find(copy_ + ": holds the same bytes as " + scan_ + "; " + twice), std::string::npos)
      << fit.err;
}

TEST_F(Copies, InACaseOfATriageCountOnce) {
  const std::string out = at_ + "/desk";
  const std::string alone = at_ + "/alone";
  const std::string manifest = at_ + "/list.txt";
  std::ofstream(manifest) << "w\ta-1.png\nw\tb-1.png\nw\ta-2.png\n";
  const Ran ran = tool("triage", {"--out", out, manifest});
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_NE(ran.out.find("a-2.png holds the same bytes as a-1.png and was left out."), std::string::npos)
      << ran.out;
  EXPECT_NE(slurp(out + "/overview.html").find("and was left out"), std::string::npos);
  std::ofstream(manifest) << "w\ta-1.png\nw\tb-1.png\n";
  ASSERT_EQ(tool("triage", {"--out", alone, manifest}).status, 0);
  Json with = Json::parse(slurp(out + "/cases.jsonl"));
  Json without = Json::parse(slurp(alone + "/cases.jsonl"));
  EXPECT_EQ(with["copies"], (Json::array({{{"file", "a-2.png"}, {"same_as", "a-1.png"}}})));
  EXPECT_EQ(without["copies"], Json::array());
  for (Json* line : {&with, &without}) {
    line->erase("copies");
    line->erase("key");  // the names are in it
  }
  EXPECT_EQ(with, without);
}

// A page of a file is its own witness; the whole file holds it.
TEST_F(Copies, OfPagesAreTold) {
  const std::string both = at_ + "/both.tif";
  const std::string make =
      "/usr/bin/python3 -c 'import sys; from PIL import Image; a, b, out = sys.argv[1:]; "
      "Image.open(a).convert(\"RGB\").save(out, save_all=True, dpi=(150, 150), "
      "append_images=[Image.open(b).convert(\"RGB\")])' ";
  ASSERT_EQ(std::system((make + "'" + scan_ + "' '" + other_ + "' '" + both + "'").c_str()), 0);
  const Ran pages = tool("locate", {both + "[1]", both + "[2]", "--json", "-"});
  ASSERT_EQ(pages.status, 0) << pages.err;
  const Json answer = Json::parse(pages.out);
  for (const auto& input : answer["inputs"]) EXPECT_EQ(input["sha256"].get<std::string>().size(), 64U);
  const Ran whole = tool("locate", {both + "[2]", both});
  EXPECT_EQ(whole.status, 2);
  EXPECT_NE(whole.err.find(both + "[2]: holds the same bytes as " + both + ";"), std::string::npos)
      << whole.err;
}

}  // namespace
}  // namespace scrapetrace::cli
