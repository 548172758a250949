// Against the Trace Event Format (Google, "Trace Event Format", complete events): ph "X" with ts and dur in
// microseconds, pid and tid; optional tdur.
#include "report/trace_json.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace scrapetrace::report {
namespace {

TEST(TraceJson, HasACompleteEventPerStage) {
  const auto trace =
      nlohmann::json::parse(trace_json({{"read page", 0, 10.04, 20, 5}, {"b", 2, 40, 1, 1}}, "9"));
  ASSERT_EQ(trace["traceEvents"].size(), 2U);
  const auto& first = trace["traceEvents"][0];
  EXPECT_EQ(first["name"], "read page");
  EXPECT_EQ(first["ph"], "X");
  EXPECT_EQ(first["ts"], 10.0);
  EXPECT_EQ(first["dur"], 20.0);
  EXPECT_EQ(first["tdur"], 5.0);
  EXPECT_EQ(first["tid"], 0);
  EXPECT_TRUE(first["pid"].is_number_integer());
  EXPECT_EQ(trace["traceEvents"][1]["tid"], 2);
  EXPECT_EQ(trace["otherData"]["version"], "9");
}

}  // namespace
}  // namespace scrapetrace::report
