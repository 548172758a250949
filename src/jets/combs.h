#pragma once
// The columns of the heads' jets as a scan would show them.

#include <functional>
#include <vector>

#include "geometry/machine.h"
#include "jets/even_table.h"

namespace scrapetrace::jets {

// How a column blurred by the scan shows at a distance from its centre, and how two of them overlap.
class ColumnSpread {
 public:
  ColumnSpread(double column_mm, double blur_mm);
  // Part of a sample that a column makes up, `distance_mm` from its centre; 0 beyond reach_mm().
  [[nodiscard]] double weight(double distance_mm) const { return weight_.at(distance_mm); }
  // Integral over x of weight(x) weight(x - distance), mm; 0 beyond twice the reach.
  [[nodiscard]] double overlap(double distance_mm) const { return overlap_.at(distance_mm); }
  [[nodiscard]] double reach_mm() const { return reach_mm_; }

 private:
  double reach_mm_;
  EvenTable weight_;
  EvenTable overlap_;
};

// All jets from the drum's left to its right, each with the centres (drum X) of the columns that it lays,
// left to right.
struct Combs {
  std::vector<std::vector<double>> jets;
  // Sums of overlaps over the column pairs of jets i and i + k, at [i][k], mm.
  std::vector<std::vector<double>> overlap;
};

Combs make_combs(const geometry::Machine& machine, const ColumnSpread& spread);

// Of the columns whose centres are seen. `spread` is the one that `all` was made with.
Combs seen_combs(const Combs& all, const std::function<bool(double)>& seen, const ColumnSpread& spread);

}  // namespace scrapetrace::jets
