#include "report/words.h"

#include <gtest/gtest.h>

#include <limits>

#include "report/base64.h"
#include "report/wrap.h"

namespace scrapetrace::report {
namespace {

TEST(Printable, ShowsControlCharactersAndBrokenBytes) {
  EXPECT_EQ(printable("a\x1b[31mb\n\x7f"), "a\\x1B[31mb\\x0A\\x7F");
  EXPECT_EQ(printable("\xC2\x9B"
                      "31m"),
            "\\xC2\\x9B31m");  // CSI as one C1 control
  EXPECT_EQ(printable("t\xC3\xAAte"), "t\xC3\xAAte");
  // U+202E turns what follows round: "gpj.exe" would be read as "exe.jpg".
  EXPECT_EQ(printable("a\xE2\x80\xAEgpj"), "a\\xE2\\x80\\xAEgpj");
  EXPECT_EQ(printable("\xE2\x81\xA6\xD8\x9C"), "\\xE2\\x81\\xA6\\xD8\\x9C");
  EXPECT_EQ(printable("\xE2\x80\x93"), "\xE2\x80\x93");  // a dash
  EXPECT_EQ(printable("\xC3("), "\\xC3(");
}

TEST(Printable, KeepsTheLinesOfAText) {
  EXPECT_EQ(printable_lines("a\x1b\n\nb\tc\n"), "a\\x1B\n\nb\\x09c\n");
  EXPECT_EQ(printable_lines(""), "");
  EXPECT_EQ(printable_lines("a\r\nb"), "a\\x0D\nb");
}

// RFC 3629 section 3 and 4: overlong forms, surrogates and values past U+10FFFF are not UTF-8.
TEST(ValidUtf8, ReplacesWhatRfc3629Forbids) {
  const std::string mark = "\xEF\xBF\xBD";
  EXPECT_EQ(valid_utf8("\xC0\xAF"), mark + mark);
  EXPECT_EQ(valid_utf8("\xED\xA0\x80"), mark + mark + mark);
  EXPECT_EQ(valid_utf8("\xF4\x90\x80\x80"), mark + mark + mark + mark);
  EXPECT_EQ(valid_utf8("\xE2\x82"), mark + mark);
  // RFC 3629 section 7: "A<NOT IDENTICAL TO><ALPHA>."
  EXPECT_EQ(valid_utf8("\x41\xE2\x89\xA2\xCE\x91\x2E"), "\x41\xE2\x89\xA2\xCE\x91\x2E");
}

TEST(Percent, NeverRoundsToCertainty) {
  EXPECT_EQ(percent(0.824), "82 %");
  EXPECT_EQ(percent(0.0001), "under 1 %");
  EXPECT_EQ(percent(1.0), "over 99 %");
  EXPECT_EQ(percent(std::numeric_limits<double>::quiet_NaN()), "unknown");
}

TEST(Decimals, HaveNoNegativeZeroAndNoNan) {
  EXPECT_EQ(decimals(-0.04, 1), "0.0");
  EXPECT_EQ(decimals(-0.06, 1), "-0.1");
  EXPECT_EQ(decimals(std::numeric_limits<double>::infinity(), 1), "unknown");
}

TEST(Wrap, KeepsTheWidthTheIndentAndUnits) {
  EXPECT_EQ(wrap("  - ", "one two three", 12), "  - one two\n    three\n");
  EXPECT_EQ(wrap("", "the spot at 12 mm", 14), "the spot at\n12 mm\n");
  EXPECT_EQ(wrap("", "abcdefghijklmnop", 10), "abcdefghij\nklmnop\n");
  EXPECT_EQ(wrap("", "", 10), "\n");
}

// RFC 4648 section 10.
TEST(Base64, MatchesTheTestVectorsOfRfc4648) {
  EXPECT_EQ(base64(""), "");
  EXPECT_EQ(base64("f"), "Zg==");
  EXPECT_EQ(base64("fo"), "Zm8=");
  EXPECT_EQ(base64("foo"), "Zm9v");
  EXPECT_EQ(base64("foob"), "Zm9vYg==");
  EXPECT_EQ(base64("fooba"), "Zm9vYmE=");
  EXPECT_EQ(base64("foobar"), "Zm9vYmFy");
}

}  // namespace
}  // namespace scrapetrace::report
