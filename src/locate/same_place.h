#pragma once

namespace scrapetrace::locate_detail {

// Whether two of Target, StreakTarget and Rival name one side and surface of one head.
template <class A, class B>
bool same_place(const A& a, const B& b) {
  return a.head == b.head && a.side == b.side && a.surface == b.surface;
}

}  // namespace scrapetrace::locate_detail
