#include "sandbox/ending_words.h"

#include <gtest/gtest.h>

#include <csignal>

namespace scrapetrace::sandbox {
namespace {

// As wait(2) puts an ending.
Ending ended(int signal, int status) {
  Ending ending{};
  ending.status = signal != 0 ? signal : status << 8;
  return ending;
}

// A run that is stopped for want of time or memory must not count as done for ever.
TEST(EndingWords, TellWhatMayPassFromWhatWillNot) {
  const scan::ReadLimits limits;
  Ending late{};
  late.late = true;
  Ending not_begun{};
  not_begun.not_begun = true;
  for (const Ending& ending :
       {late, not_begun, ended(SIGKILL, 0), ended(SIGXCPU, 0), ended(SIGABRT, 0), ended(0, 3)}) {
    const auto words = wrong_with(ending, limits);
    EXPECT_TRUE(may_pass(words)) << words;
  }
  EXPECT_TRUE(may_pass(lost_reader().front().what));
  EXPECT_FALSE(may_pass(made_no_sense().front().what));
  EXPECT_FALSE(may_pass(wrong_with(ended(SIGSYS, 0), limits)));
  EXPECT_FALSE(may_pass("is not a TIFF, PNG or JPEG file, or too little of one"));
}

}  // namespace
}  // namespace scrapetrace::sandbox
