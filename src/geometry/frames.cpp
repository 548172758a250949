#include "geometry/frames.h"

namespace scrapetrace {

const char* to_string(Side side) {
  return side == Side::left ? "left" : "right";
}

}  // namespace scrapetrace

namespace scrapetrace::geometry {

SheetFromDrum::SheetFromDrum(const Layout& layout) {
  const auto& t = layout.transfer;
  scale = t.mirrored ? -t.scale_cross : t.scale_cross;
  offset_mm = -scale * t.sheet_left_on_drum_mm;
}

double drum_x_of_column(const Layout& layout, int column, std::size_t carriage) {
  return (column + 0.5) * layout.px_mm() + layout.carriages[carriage].offset_mm;
}

Side drum_side(const Head& head, Side stencilled) {
  if (!head.rotated) return stencilled;
  return stencilled == Side::left ? Side::right : Side::left;
}

double outermost_jet_mm(const Layout& layout, const Head& head, Side side) {
  const int column = side == Side::left
                         ? head.first_jet_px
                         : head.first_jet_px + (head.jets - 1) * layout.interleave.jet_pitch_px;
  return drum_x_of_column(layout, column, head.carriage);
}

double outward_from_drum(const Layout& layout, const Head& head, Side stencilled, double drum_x_mm) {
  const Side side = drum_side(head, stencilled);
  const double edge = outermost_jet_mm(layout, head, side);
  return side == Side::left ? edge - drum_x_mm : drum_x_mm - edge;
}

double drum_from_outward(const Layout& layout, const Head& head, Side stencilled, double outward_mm) {
  const Side side = drum_side(head, stencilled);
  const double edge = outermost_jet_mm(layout, head, side);
  return side == Side::left ? edge - outward_mm : edge + outward_mm;
}

}  // namespace scrapetrace::geometry
