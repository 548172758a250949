#pragma once
// Whole parts of many numbers.

namespace scrapetrace {

// Whole part downwards; std::floor is a call on processors of the oldest kind that are served.
inline int floor_of(double value) {
  const int whole = static_cast<int>(value);
  return whole - (static_cast<double>(whole) > value ? 1 : 0);
}

}  // namespace scrapetrace
