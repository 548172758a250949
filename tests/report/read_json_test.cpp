// JSON of somebody else's: read, or refused with the place.

#include "report/read_json.h"

#include <gtest/gtest.h>

namespace scrapetrace::report {
namespace {

std::string refusal(const std::string& text) {
  const auto json = read_json(text, "a.json");
  return json.ok() ? "" : to_string(json.problems().front());
}

std::string nested(int levels) {
  return std::string(static_cast<std::size_t>(levels), '[') +
         std::string(static_cast<std::size_t>(levels), ']');
}

TEST(ReadJson, TakesWhatIsWellFormed) {
  EXPECT_EQ((*read_json(R"({"a": [1, "two"]})", ""))["a"][1], "two");
  EXPECT_EQ(refusal(nested(kMostLevels)), "");
}

TEST(ReadJson, NamesThePlace) {
  EXPECT_EQ(refusal("{\n \"a\": 1,,\n}").substr(0, 12), "a.json:2:9: ");
  EXPECT_EQ(refusal("").substr(0, 12), "a.json:1:1: ");
  EXPECT_EQ(refusal("\"\xff\"").substr(0, 9), "a.json:1:");
}

// Four million levels would take as many calls to write again.
TEST(ReadJson, RefusesWhatNestsTooDeep) {
  EXPECT_NE(refusal(nested(kMostLevels + 1)).find("deeper than 32"), std::string::npos);
  EXPECT_NE(refusal(std::string(4'000'000, '[')).find("deeper than 32"), std::string::npos);
  EXPECT_NE(refusal("[1e999]").find("number"), std::string::npos);
}

}  // namespace
}  // namespace scrapetrace::report
