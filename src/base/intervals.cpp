#include "base/intervals.h"

#include <algorithm>

namespace scrapetrace {

std::vector<Interval> joined(std::vector<Interval> intervals) {
  std::sort(intervals.begin(), intervals.end(),
            [](const Interval& a, const Interval& b) { return a.from_mm < b.from_mm; });
  std::vector<Interval> out;
  for (const Interval& i : intervals) {
    if (!out.empty() && i.from_mm <= out.back().to_mm) {
      out.back().to_mm = std::max(out.back().to_mm, i.to_mm);
    } else {
      out.push_back(i);
    }
  }
  return out;
}

}  // namespace scrapetrace
