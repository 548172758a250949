#pragma once
// How often residue touches each column after its ink was laid.

#include <cstdint>
#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::geometry {

// A contact on a carriage. At displacement s it touches drum X in [x_mm + s, x_mm + width_mm + s).
struct Contact {
  std::size_t carriage = 0;
  bool downstream = false;
  double x_mm = 0;
  double width_mm = 0;
};

// Whether, within a pass, a contact of carriage q comes after the ink of carriage p: angle_p < angle_q, or
// the same carriage with the contact downstream of its jets.
bool touches_after_laying(const Layout& layout, std::size_t laying_carriage, std::size_t contact_carriage,
                          bool downstream);

// Touch counts of columns [first, first + n.size()), all that the contact reaches in any pass; 0 where the
// ink came later. A column is reached when its centre, as its owner prints it, lies in the contact's interval
// (model: Forward model of a scrape). kept(column) = (1 - f)^n.
struct TouchCounts {
  int first = 0;
  std::vector<std::uint8_t> n;
  [[nodiscard]] int at(int column) const {
    const int i = column - first;
    return i < 0 || i >= static_cast<int>(n.size()) ? 0 : n[static_cast<std::size_t>(i)];
  }
};
TouchCounts count_touches(const Layout& layout, const ColumnMap& map, const Contact& contact);

}  // namespace scrapetrace::geometry
