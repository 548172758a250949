#pragma once
// Which jet prints which column: interleave, limits of the heads, seams.

#include <cstdint>
#include <optional>
#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace::geometry {

struct Owner {
  std::int16_t head = -1;  // -1: none
  std::int16_t pass = -1;
  std::int32_t jet = -1;
  [[nodiscard]] bool nobody() const { return head < 0; }
};

// Columns [first, last] that a head covers exactly once (model: first_jet_px + max(travel*shift) to
// first_jet_px + (jets-1)*jet_pitch_px + min(travel*shift)). Empty when last < first.
struct ColumnRange {
  int first = 0;
  int last = -1;
  [[nodiscard]] bool empty() const { return last < first; }
};
ColumnRange covered_columns(const Layout& layout, const Head& head);

// For each residue modulo jet_pitch_px, relative to jet 0's home column, the pass that prints it in a travel
// direction; -1: none, -2: several. The interleave is complete when every entry is a pass (model: shift_px
// mod jet_pitch_px hits each residue once).
std::vector<int> pass_of_residue(const Interleave& interleave, int travel);

// Two heads that both cover columns [from, to]; the left one prints up to and including `seam`.
struct Seam {
  std::size_t left_head = 0;
  std::size_t right_head = 0;
  int from = 0;
  int to = 0;
  int seam = 0;
};

// Drum X where the left head's ink ends at a seam and the right head's begins; they differ by the carriages'
// offsets.
struct SeamEnds {
  double left_mm = 0;
  double right_mm = 0;
  [[nodiscard]] double gap_mm() const { return right_mm - left_mm; }  // negative: overlap
};
SeamEnds seam_ends(const Layout& layout, const Seam& seam);

// Columns between two heads that neither covers.
struct Hole {
  std::size_t left_head = 0;
  std::size_t right_head = 0;
  int from = 0;
  int to = 0;
};

// Owners of all columns [0, width) of the drum, with seams and holes.
class ColumnMap {
 public:
  // Requires a complete interleave and heads with at least one covered column; a head inside its neighbours'
  // range owns nothing.
  explicit ColumnMap(const Layout& layout);

  [[nodiscard]] int columns() const { return static_cast<int>(owners_.size()); }
  // Owner of a column; none outside [0, columns()).
  [[nodiscard]] Owner owner(int column) const {
    return column < 0 || column >= columns() ? Owner{} : owners_[static_cast<std::size_t>(column)];
  }
  [[nodiscard]] const std::vector<Seam>& seams() const { return seams_; }
  [[nodiscard]] const std::vector<Hole>& holes() const { return holes_; }
  // First and last column with an owner; empty: none.
  [[nodiscard]] ColumnRange printed() const { return printed_; }

 private:
  std::vector<Owner> owners_;
  std::vector<Seam> seams_;
  std::vector<Hole> holes_;
  ColumnRange printed_;
};

// Gaps or overlaps of ink where heads on carriages with different offsets meet, as the layout predicts them.
// From left to right.
std::vector<SeamEnds> stand_offs(const Layout& layout, const ColumnMap& map);

// Columns that a jet prints, by pass, within its head's own columns.
std::vector<int> columns_of_jet(const Layout& layout, const ColumnMap& map, std::size_t head, int jet);

}  // namespace scrapetrace::geometry
