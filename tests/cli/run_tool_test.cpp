#include "cli/run_tool.h"

#include <gtest/gtest.h>

namespace scrapetrace::cli {

TEST(RunTool, FindsTheBinary) {
  EXPECT_EQ(run_tool({"--version"}).status, 0);
}

}  // namespace scrapetrace::cli
