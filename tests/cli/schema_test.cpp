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
  EXPECT_TRUE(valid("locate.schema.json", json));
  std::string broken = json;
  broken.replace(broken.find("\"left\""), 6, "\"top\"");
  EXPECT_FALSE(valid("locate.schema.json", broken));  // the judge does judge
}

}  // namespace
}  // namespace scrapetrace::cli
