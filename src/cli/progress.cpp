#include "cli/progress.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <cstdio>

namespace scrapetrace::cli {

namespace {

std::string in_words(double seconds) {
  const auto whole = std::lround(seconds);
  if (whole >= 3600) return fmt::format("{} h {:02} min", whole / 3600, whole / 60 % 60);
  return whole >= 60 ? fmt::format("{} min {:02} s", whole / 60, whole % 60) : fmt::format("{} s", whole);
}

}  // namespace

Progress::Progress(int steps) : steps_(steps), shown_(steps > 0 && isatty(STDERR_FILENO) != 0) {}

void Progress::step() {
  ++done_;
  if (!shown_) return;
  const double seconds = std::chrono::duration<double>(Clock::now() - start_).count();
  fmt::print(stderr, "\r{} of {}, {:.1f} per minute, {} left\033[K", done_, steps_, 60 * done_ / seconds,
             in_words(seconds / done_ * (steps_ - done_)));
  std::fflush(stderr);
}

void Progress::finish() const {
  if (shown_) std::fputs("\n", stderr);
}

}  // namespace scrapetrace::cli
