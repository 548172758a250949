#pragma once

namespace scrapetrace {

// std::floor without a function call: the oldest processors we support (SSE2) have no instruction for it.
inline int floor_of(double value) {
  const int whole = static_cast<int>(value);
  return whole - (static_cast<double>(whole) > value ? 1 : 0);
}

}  // namespace scrapetrace
