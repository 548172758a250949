#pragma once
// The things that draw streaks, as the forward model takes them: the truth of a rendered print.
// All positions across are drum X in millimetres unless the name says otherwise; y is sheet millimetres.

#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace {

// Part of the sheet's length, sheet mm; by default all of it.
struct YSpan {
  double from_mm = -std::numeric_limits<double>::infinity();
  double to_mm = std::numeric_limits<double>::infinity();
};

// Residue rides on its carriage: at displacement s it touches [x_mm + s, x_mm + width_mm + s).
struct Residue {
  std::size_t carriage = 0;
  bool downstream = false;  // touches just after its own carriage's jets instead of just before
  double x_mm = 0;          // left end of the contact with the carriage at home, drum mm
  double width_mm = 0;
  double loss = 0;  // fraction f of the ink present that one contact removes, (0, 1]
  YSpan y;
  // For the record only (the truth file); the ink does not depend on them.
  std::string head;
  std::optional<Side> side;
  std::string surface;
};

struct WeakJet {  // dead when loss = 1
  std::size_t head = 0;
  std::size_t ink = 0;
  int jet = 0;
  double loss = 1;  // fraction of its ink that is missing
};

struct DrumScratch {
  double x_mm = 0;  // left end, drum mm
  double width_mm = 0;
  double loss = 0;  // fraction of all ink lost there, once
  YSpan y;
};

struct BladeHaze {
  double x_mm = 0;      // centre, drum mm
  double width_mm = 0;  // full width at half maximum
  double density = 0;   // neutral density added, also in white, (0, 4]
  YSpan y;
};

struct ScannerLine {
  double column_fraction = 0;  // centre, as a fraction of the scan's width before mirroring and turn
  double width_px = 1;
  double gain = 1;  // factor on the linear signal, 0 to 10: below 1 dark, above 1 bright
};

// A carriage whose heads stand beside where the layout has them: their ink moves, and at its seams gaps or
// overlaps show.
struct CarriageShift {
  std::size_t carriage = 0;
  double offset_mm = 0;  // to the right on the drum, beyond the layout's own offset
};

struct Causes {
  std::vector<Residue> residues;
  std::vector<WeakJet> jets;
  std::vector<DrumScratch> scratches;
  std::vector<BladeHaze> hazes;
  std::vector<ScannerLine> lines;
  std::vector<CarriageShift> shifts = {};
};

}  // namespace scrapetrace
