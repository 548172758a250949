#pragma once
// Summing a sharply peaked function over a two-dimensional lattice without visiting all of it.

#include <map>
#include <queue>
#include <utility>

namespace scrapetrace::diagnose {

using LatticePoint = std::pair<int, int>;

// Best-first walk from `start`: visits neighbours (eight around) of every visited cell whose score is within
// `depth` of the best so far, at most `limit` cells. `evaluate(cell)` returns a value with a member `score`;
// a score of minus infinity closes a cell. All visited cells come back, in cell order.
template <class Value, class Evaluate>
std::map<LatticePoint, Value> walk_best_first(LatticePoint start, double depth, std::size_t limit,
                                              const Evaluate& evaluate) {
  std::map<LatticePoint, Value> seen;
  std::priority_queue<std::pair<double, LatticePoint>> open;
  double best = 0;
  const auto visit = [&](LatticePoint cell) {
    if (seen.size() >= limit || seen.contains(cell)) return;
    const Value value = evaluate(cell);
    if (seen.empty() || value.score > best) best = value.score;
    open.push({value.score, cell});
    seen.emplace(cell, value);
  };
  visit(start);
  while (!open.empty()) {
    const auto [score, cell] = open.top();
    open.pop();
    if (score < best - depth) break;
    for (int dx = -1; dx <= 1; ++dx) {
      for (int dy = -1; dy <= 1; ++dy) visit({cell.first + dx, cell.second + dy});
    }
  }
  return seen;
}

}  // namespace scrapetrace::diagnose
