#pragma once
// What a layout amounts to: who prints what, where the seams lie, and which places the page can tell apart.

#include <cstddef>
#include <utility>
#include <vector>

#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace {

struct HeadDescription {
  std::size_t head = 0;
  int first_column = 0;  // that it owns, seams taken off
  int last_column = 0;
  Interval drum_mm;   // of those columns' ink
  Interval sheet_mm;  // the same on the sheet, from < to
};

// Both heads cover columns [from_column, to_column]; the left one prints up to and including `seam_column`.
struct SeamDescription {
  std::size_t left_head = 0;
  std::size_t right_head = 0;
  int from_column = 0;
  int to_column = 0;
  int seam_column = 0;
  double drum_mm = 0;  // the border between the two heads' columns
  double sheet_mm = 0;
};

struct CarriageDescription {
  std::size_t carriage = 0;
  Interval travel_mm;  // least and largest displacement, to the right positive
  std::vector<std::size_t> heads;
};

// Two targets whose zones share part of the drum; a is on the head that starts further left.
struct ZoneOverlap {
  std::size_t head_a = 0;
  std::size_t zone_a = 0;  // index into Layout::zones
  std::size_t head_b = 0;
  std::size_t zone_b = 0;
  Interval drum_mm;
  bool same_carriage = false;
  bool same_travel = false;
  // Sides of contact, (a downstream, b downstream), at which residue on the same place of the drum draws the
  // same streak whichever of the two it sits on. Empty: the streaks always differ.
  std::vector<std::pair<bool, bool>> alike;
};

struct LayoutDescription {
  int drum_columns = 0;
  int printed_columns = 0;  // each owned by exactly one jet in one pass
  int first_column = 0;
  int last_column = 0;
  Interval printed_drum_mm;
  Interval printed_sheet_mm;
  std::vector<HeadDescription> heads;          // left to right on the drum
  std::vector<SeamDescription> seams;          // left to right
  std::vector<CarriageDescription> carriages;  // in the order of events within one pass
  std::vector<ZoneOverlap> overlaps;           // left to right
};

namespace layout {

// `layout` as read_layout() accepts it.
LayoutDescription describe_layout(const Layout& layout);

}  // namespace layout

}  // namespace scrapetrace
