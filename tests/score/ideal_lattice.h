#pragma once
// Cells of (left end, right end) within which a contact touches the same columns.

#include <vector>

#include "geometry/contact.h"
#include "score/ideal_reader.h"

namespace scrapetrace::score {

// The places where an end of a contact gains or loses a column.
class EdgeLattice {
 public:
  // Over drum [from, to]; columns are laid with the offsets of the carriages that own any there.
  EdgeLattice(const Layout& layout, const geometry::ColumnMap& columns, Interval span_mm);

  [[nodiscard]] int size() const { return static_cast<int>(edge_mm_.size()) - 1; }  // gaps between places
  [[nodiscard]] double from_mm(int gap) const { return edge_mm_[static_cast<std::size_t>(gap)]; }
  [[nodiscard]] double to_mm(int gap) const { return edge_mm_[static_cast<std::size_t>(gap) + 1]; }
  [[nodiscard]] double middle_mm(int gap) const { return 0.5 * (from_mm(gap) + to_mm(gap)); }
  [[nodiscard]] int gap_of(double x_mm) const;  // clamped to the lattice

 private:
  std::vector<double> edge_mm_;
};

// Prior mass of a cell, one half for the side of the jets: the integral of width and place densities, by
// midpoints of 4 x 4 parts.
struct CellPrior {
  double mass = 0;
  double middle_mm = 0;        // prior mean of the contact's middle, mm
  double middle_variance = 0;  // and its variance
  std::vector<double> by_target;
};
CellPrior cell_prior(const Layout& layout, const IdealPrior& prior, const EdgeLattice& lattice,
                     std::size_t carriage, int left, int right);

}  // namespace scrapetrace::score
