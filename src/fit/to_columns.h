#pragma once
// Heads that stand elsewhere, written as a layout can hold it: whole columns per head, an offset per
// carriage.

#include <vector>

#include "scrapetrace/layout_fit.h"

namespace scrapetrace::fit {

struct MovedHead {
  std::size_t head = 0;
  double moved_mm = 0;
  double sigma_mm = 0;
};

struct CarriageShift {
  std::size_t carriage = 0;
  double moved_mm = 0;  // on top of the offset it had
  double sigma_mm = 0;
};

struct Columns {
  std::vector<FittedHead> heads;  // as given, intervals left for the caller
  std::vector<CarriageShift> carriages;
};

// A carriage's offset moves by half a column at most; the rest goes into its heads' first_jet_px.
Columns to_columns(const Layout& start, const std::vector<MovedHead>& moved);

}  // namespace scrapetrace::fit
