#include "layout/problem_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>
#include <utility>

namespace scrapetrace::layout {

void ProblemList::add(Place place, std::string what) {
  if (problems_.size() == kMostProblems) {
    ++left_out_;
    return;
  }
  problems_.push_back({file_, place.line, place.column, std::move(what)});
}

Problems ProblemList::take() {
  std::stable_sort(problems_.begin(), problems_.end(), [](const Problem& a, const Problem& b) {
    return std::tie(a.line, a.column) < std::tie(b.line, b.column);
  });
  if (left_out_ > 0) {
    problems_.push_back(
        {file_, 0, 0, fmt::format("{} more problems are not shown; mend these first.", left_out_)});
  }
  return std::move(problems_);
}

}  // namespace scrapetrace::layout
