#include "base/wording.h"

#include <gtest/gtest.h>

namespace scrapetrace {
namespace {

const std::vector<std::string> kKnown{"guard", "loss_max", "width_max_mm", "number_max"};

TEST(DidYouMean, CountsOneEditPerThreeLetters) {
  EXPECT_EQ(did_you_mean("gard", kKnown), " Did you mean \"guard\"?");
  EXPECT_EQ(did_you_mean("gaurd", kKnown), " Did you mean \"guard\"?");  // a swap is one edit, not two
  EXPECT_EQ(did_you_mean("lsos_amx", kKnown), " Did you mean \"loss_max\"?");
  EXPECT_EQ(did_you_mean("grad", kKnown), "");  // a swap and a letter
  EXPECT_EQ(did_you_mean("colour", kKnown), "");
}

TEST(DidYouMean, TakesABeginningForNear) {
  EXPECT_EQ(did_you_mean("width", kKnown), " Did you mean \"width_max_mm\"?");
  EXPECT_EQ(did_you_mean("wi", kKnown), "");  // anything is near a word of two letters
}

}  // namespace
}  // namespace scrapetrace
