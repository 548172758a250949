#pragma once
// Who lays which column: the interleave, the heads' limits and the seams between them.

#include <cstdint>
#include <optional>
#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace::geometry {

struct Owner {
  std::int16_t head = -1;  // -1: nobody
  std::int16_t pass = -1;
  std::int32_t jet = -1;
  [[nodiscard]] bool nobody() const { return head < 0; }
};

// Columns [first, last] that a head covers exactly once: its innermost limits (model: first_jet_px +
// max(travel*shift) to first_jet_px + (jets-1)*jet_pitch_px + min(travel*shift)). Empty when last < first.
struct ColumnRange {
  int first = 0;
  int last = -1;
  [[nodiscard]] bool empty() const { return last < first; }
};
ColumnRange covered_columns(const Layout& layout, const Head& head);

// The pass that lays columns of each residue modulo jet_pitch_px, relative to jet 0's home column, for a
// travel direction; -1 where no pass does, -2 where several do. The interleave is complete when every entry
// is a pass (model: shift_px mod jet_pitch_px hits each residue once).
std::vector<int> pass_of_residue(const Interleave& interleave, int travel);

// Two heads that both cover columns [from, to]: the left one owns up to and including `seam`.
struct Seam {
  std::size_t left_head = 0;
  std::size_t right_head = 0;
  int from = 0;
  int to = 0;
  int seam = 0;
};

// Drum X where the left head's ink ends at a seam and where the right head's begins: apart by what their
// carriages' offsets differ.
struct SeamEnds {
  double left_mm = 0;
  double right_mm = 0;
  [[nodiscard]] double gap_mm() const { return right_mm - left_mm; }  // negative: overlap
};
SeamEnds seam_ends(const Layout& layout, const Seam& seam);

// Columns nobody covers between two heads.
struct Hole {
  std::size_t left_head = 0;
  std::size_t right_head = 0;
  int from = 0;
  int to = 0;
};

// Owners of all columns of the drum [0, width), with the seams and holes met on the way.
class ColumnMap {
 public:
  // Requires a complete interleave and heads with at least one covered column; a head that lies wholly inside
  // its neighbours' range owns nothing.
  explicit ColumnMap(const Layout& layout);

  [[nodiscard]] int columns() const { return static_cast<int>(owners_.size()); }
  // Owner of a column; "nobody" outside [0, columns()).
  [[nodiscard]] Owner owner(int column) const {
    return column < 0 || column >= columns() ? Owner{} : owners_[static_cast<std::size_t>(column)];
  }
  [[nodiscard]] const std::vector<Seam>& seams() const { return seams_; }
  [[nodiscard]] const std::vector<Hole>& holes() const { return holes_; }
  // First and last column with an owner; empty when there is none.
  [[nodiscard]] ColumnRange printed() const { return printed_; }

 private:
  std::vector<Owner> owners_;
  std::vector<Seam> seams_;
  std::vector<Hole> holes_;
  ColumnRange printed_;
};

// Where heads on carriages with different offsets meet, at seams or without an overlap of their own: a gap or
// an overlap of ink that the layout knows of. From left to right.
std::vector<SeamEnds> stand_offs(const Layout& layout, const ColumnMap& map);

// The columns one jet lays, by pass, that its head really owns (seams cut the rest off).
std::vector<int> columns_of_jet(const Layout& layout, const ColumnMap& map, std::size_t head, int jet);

}  // namespace scrapetrace::geometry
