#include "report/csv.h"

#include <gtest/gtest.h>

namespace scrapetrace::report {
namespace {

// RFC 4180 section 2, rules 5 to 7.
TEST(Csv, QuotesAreDoubled) {
  EXPECT_EQ(csv_cell(""), "\"\"");
  EXPECT_EQ(csv_cell("a, \"b\""), "\"a, \"\"b\"\"\"");
}

TEST(Csv, AFormulaIsNotRunWhateverStandsBeforeIt) {
  for (const std::string sign : {"=", "+", "-", "@", "\uFF1D", "\uFF20"}) {
    for (const std::string before : {"", " ", "   ", "\u00A0", "\u3000 ", "\uFEFF"})
      EXPECT_EQ(csv_cell(before + sign + "1"), "\"'" + before + sign + "1\"");
  }
  EXPECT_EQ(csv_cell("\t=1"), "\"'\\x09=1\"");
  EXPECT_EQ(csv_cell("\u202E=1"), "\"'\\xE2\\x80\\xAE=1\"");
  EXPECT_EQ(csv_cell("a=1"), "\"a=1\"");
  EXPECT_EQ(csv_cell("3:left"), "\"3:left\"");
}

TEST(Csv, NothingInACellDrivesATerminalOrTurnsTheOrder) {
  EXPECT_EQ(csv_cell("a\x1b]0;b\x07"), "\"a\\x1B]0;b\\x07\"");
  EXPECT_EQ(csv_cell("a\u202Egpj\r\nb"), "\"a\\xE2\\x80\\xAEgpj\\x0D\\x0Ab\"");
  EXPECT_EQ(csv_cell("\xC2\x9B 1\xFF"), "\"\\xC2\\x9B 1\\xFF\"");
}

}  // namespace
}  // namespace scrapetrace::report
