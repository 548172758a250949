// Whole parts, on both sides of nothing.

#include "base/floor_of.h"

#include <gtest/gtest.h>

#include <cmath>

namespace scrapetrace {
namespace {

TEST(FloorOf, IsTheNextWholeNumberDownwards) {
  for (const double value : {-3.0, -2.5, -1.0, -0.1, 0.0, 0.9, 1.0, 1e6 + 0.5})
    EXPECT_EQ(floor_of(value), static_cast<int>(std::floor(value))) << value;
}

}  // namespace
}  // namespace scrapetrace
