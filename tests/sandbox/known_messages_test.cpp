#include "sandbox/known_messages.h"

#include <gtest/gtest.h>

namespace scrapetrace::sandbox {
namespace {

TEST(KnownMessages, AreTheProgramsOwn) {
  for (const char* sentence :
       {"has 3 pages, no page 9; name one of those",
        "is damaged or cut short (VipsJpeg: out of order read at line 12 (of 40)); copy or scan it again",
        "is damaged or cut short (); copy it again",
        "has 90 pages; at most 64 are taken; name those that are scans, like in/a.tif[1], or raise "
        "--most-pages"})
    EXPECT_TRUE(is_known_problem(sentence, "in/a.tif")) << sentence;
  EXPECT_EQ(shown_problem("has 3 pages, no page 9; name one of those", "a.tif"),
            "has 3 pages, no page 9; name one of those");
}

TEST(KnownMessages, AreNotAnothers) {
  for (const char* sentence :
       {"", "was not read; allow seccomp here, or read scans that you trust with --no-sandbox",
        "has 3 pages, no page 9; name one of those, with --no-sandbox",
        "has many pages, no page 9; name one of those", "has -3 pages, no page 9; name one of those",
        "is damaged or cut short (use --no-sandbox); copy it again",
        "is damaged or cut short (ok); all is well, go on (here); copy it again",
        "has 90 pages; at most 64 are taken; name those that are scans, like /etc/shadow[1], or raise "
        "--most-pages"}) {
    EXPECT_FALSE(is_known_problem(sentence, "a.tif")) << sentence;
    EXPECT_NE(shown_problem(sentence, "a.tif").find("comes from the process that read it"),
              std::string::npos);
  }
}

}  // namespace
}  // namespace scrapetrace::sandbox
