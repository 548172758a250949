#pragma once
// Work that was given so much time, and took it.

#include <chrono>
#include <exception>

namespace scrapetrace {

using TimePoint = std::chrono::steady_clock::time_point;

// Thrown by what takes a time `until` it may work, once that has passed.
class OutOfTime : public std::exception {
 public:
  [[nodiscard]] const char* what() const noexcept override { return "the time allowed is over"; }
};

}  // namespace scrapetrace
