#pragma once
// Frames and the maps between them. Every transform is named target_from_source.
//   drum (mm)   X to the right as seen facing the faceplates; column c covers [c, c+1) px
//   sheet (mm)  printed side up, lead edge at the top, origin top-left; x right, y down
//   head (mm)   outward distance e from the outermost jet at home, positive away from the head

#include "scrapetrace/layout.h"

namespace scrapetrace::geometry {

// x_sheet = scale * X + offset. The layout's mirroring, scale and sheet origin in one affine map.
struct SheetFromDrum {
  double scale = 1;      // sheet mm per drum mm, negative when mirrored
  double offset_mm = 0;  // sheet x of drum X = 0
  explicit SheetFromDrum(const Layout& layout);
  [[nodiscard]] double sheet_x(double drum_x_mm) const { return scale * drum_x_mm + offset_mm; }
  [[nodiscard]] double drum_x(double sheet_x_mm) const { return (sheet_x_mm - offset_mm) / scale; }
};

// Drum X of a column's centre; the carriage's offset shifts its ink.
double drum_x_of_column(const Layout& layout, int column, std::size_t carriage);

// The drum side of the head with this stencilled name.
Side drum_side(const Head& head, Side stencilled);

// Drum X of the outermost jet on that drum side, carriage at home, offset included.
double outermost_jet_mm(const Layout& layout, const Head& head, Side drum_side);

// Outward distance e of drum X (carriage at home) on a stencilled side, and its inverse.
double outward_from_drum(const Layout& layout, const Head& head, Side stencilled, double drum_x_mm);
double drum_from_outward(const Layout& layout, const Head& head, Side stencilled, double outward_mm);

}  // namespace scrapetrace::geometry
