#pragma once
// Progress of a long run, on standard error if that is a terminal.

#include <chrono>

namespace scrapetrace::cli {

class Progress {
 public:
  explicit Progress(int steps);
  void step();
  void finish() const;  // ends the line

 private:
  using Clock = std::chrono::steady_clock;
  int steps_;
  int done_ = 0;
  bool shown_;
  Clock::time_point start_ = Clock::now();
};

}  // namespace scrapetrace::cli
