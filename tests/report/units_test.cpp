// 25.4 mm to the inch: NIST Special Publication 811, appendix B (exact since 1959).
#include "report/units.h"

#include <gtest/gtest.h>

namespace scrapetrace::report {
namespace {

TEST(Units, KeepMillimetresAsTheyAre) {
  EXPECT_EQ(length(84.23, 1, LengthUnit::mm), "84.2 mm");
  EXPECT_EQ(sentence_in("good to 1.5 mm", LengthUnit::mm), "good to 1.5 mm");
}

TEST(Units, TurnMillimetresIntoInches) {
  EXPECT_EQ(length(25.4, 1, LengthUnit::inch), "1.000 in");
  EXPECT_EQ(length(0.12, 2, LengthUnit::inch), "0.005 in");
  EXPECT_EQ(length_value(195, 0, LengthUnit::inch), "7.68");
}

TEST(Units, TurnTheLengthsInASentence) {
  EXPECT_EQ(sentence_in("fed 5.0 mm aside; 254 mm, then", LengthUnit::inch),
            "fed 0.197 in aside; 10.00 in, then");
  EXPECT_EQ(sentence_in("no mm, 3 mmHg, 4 deg", LengthUnit::inch), "no mm, 3 mmHg, 4 deg");
}

}  // namespace
}  // namespace scrapetrace::report
