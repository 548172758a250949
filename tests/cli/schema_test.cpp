// The JSON under its published schema, judged by python3-jsonschema (JSON Schema draft 2020-12).
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

bool valid(const std::string& schema, const std::string& json) {
  const std::string file = scratch() + "/to_validate.json";
  std::ofstream(file) << json;
  return std::system(("/usr/bin/python3 '" + source_path("tests/cli/validate_json.py") + "' '" +
                      source_path("docs/schema/" + schema) + "' '" + file + "' 2>/dev/null")
                         .c_str()) == 0;
}

TEST(Schema, LocateKeepsIt) {
  const std::string layout = source_path("geometry/tavvick.toml");
  const std::string chart = source_path("geometry/charts/tavvick_bands.toml");
  const std::string scan = scratch() + "/schema.png";
  ASSERT_EQ(run_tool({"simulate", "--layout", layout, "--chart", chart, "--residue", "3:left:faceplate:3",
                      "--dpi", "300", "--out", scan})
                .status,
            0);
  const std::string json =
      run_tool({"locate", "--layout", layout, "--chart", chart, "--json", "-", scan, "/nowhere.tif"}).out;
  EXPECT_TRUE(valid("locate.json", json));
  std::string broken = json;
  broken.replace(broken.find("\"left\""), 6, "\"top\"");
  EXPECT_FALSE(valid("locate.json", broken));  // the judge does judge
}

// What every command that writes JSON writes, besides those that the stories try.
TEST(Schema, TruthAndLayoutFitKeepTheirs) {
  const std::string layout = source_path("geometry/tavvick.toml");
  const std::string chart = source_path("fixtures/charts/tavvick_strip.toml");
  const Ran truth =
      run_tool({"simulate", "--layout", layout, "--chart", chart, "--residue", "3:left:faceplate:1", "--dpi",
                "100", "--out", scratch() + "/truth.png", "--truth", "-"});
  EXPECT_EQ(truth.status, 0) << truth.err;
  EXPECT_TRUE(valid("truth.json", truth.out));
  const Ran fit = run_tool({"layout", "fit", "--layout", layout, "--seen",
                            source_path("fixtures/places/tavvick_bench.toml"), "--json", "-"});
  EXPECT_EQ(fit.status, 0) << fit.err;
  EXPECT_TRUE(valid("layout_fit.json", fit.out)) << fit.out;
  std::string broken = fit.out;
  broken.replace(broken.find("\"determined\": true"), 18, "\"determined\": \"so\"");
  EXPECT_FALSE(valid("layout_fit.json", broken));
}

}  // namespace
}  // namespace scrapetrace::cli
