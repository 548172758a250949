#include "sandbox/exit_messages.h"

#include <gtest/gtest.h>

#include <csignal>

namespace scrapetrace::sandbox {
namespace {

// An exit status as wait(2) encodes it.
WorkerExit ended(int signal, int status) {
  WorkerExit worker_exit{};
  worker_exit.status = signal != 0 ? signal : status << 8;
  return worker_exit;
}

// A run that is stopped for want of time or memory must not count as done for ever.
TEST(ExitMessages, SeparateTransientFromLastingFailures) {
  const scan::ReadLimits limits;
  WorkerExit late{};
  late.late = true;
  WorkerExit not_started{};
  not_started.not_started = true;
  for (const WorkerExit& worker_exit :
       {late, not_started, ended(SIGKILL, 0), ended(SIGXCPU, 0), ended(SIGABRT, 0), ended(0, 3)}) {
    const auto words = exit_problem(worker_exit, limits);
    EXPECT_TRUE(is_transient(words)) << words;
  }
  EXPECT_TRUE(is_transient(lost_fork_server().front().what));
  EXPECT_FALSE(is_transient(invalid_reply().front().what));
  EXPECT_FALSE(is_transient(exit_problem(ended(SIGSYS, 0), limits)));
  EXPECT_FALSE(is_transient("is not a TIFF, PNG or JPEG file, or too little of one"));
}

}  // namespace
}  // namespace scrapetrace::sandbox
