#include "press/scan_from_sheet.h"

#include <cmath>

namespace scrapetrace::press {

namespace {

Affine turned_from_mirrored(int turn_deg, double width_px, double height_px) {
  switch (turn_deg) {
    case 90:
      return {0, -1, height_px, 1, 0, 0};
    case 180:
      return {-1, 0, width_px, 0, -1, height_px};
    case 270:
      return {0, 1, 0, -1, 0, width_px};
    default:
      return {};
  }
}

}  // namespace

Affine Affine::inverse() const {
  const double det = xx * yy - xy * yx;
  Affine out{yy / det, -xy / det, 0, -yx / det, xx / det, 0};
  const Point origin = out({x0, y0});
  out.x0 = -origin.x;
  out.y0 = -origin.y;
  return out;
}

Affine operator*(const Affine& a, const Affine& b) {
  return {a.xx * b.xx + a.xy * b.yx, a.xx * b.xy + a.xy * b.yy, a.xx * b.x0 + a.xy * b.y0 + a.x0,
          a.yx * b.xx + a.yy * b.yx, a.yx * b.xy + a.yy * b.yy, a.yx * b.x0 + a.yy * b.y0 + a.y0};
}

ScanGeometry scan_geometry(const Chart& chart, const PrintOptions& print, const ScanOptions& scan) {
  ScanGeometry g;
  const double px_per_mm = scan.dpi / 25.4;
  g.paper_width_mm = chart.sheet_mm[0] * print.stretch_x;
  g.paper_height_mm = chart.sheet_mm[1] * print.stretch_y;
  g.raw_width_px = static_cast<int>(std::lround((g.paper_width_mm + 2 * scan.margin_mm) * px_per_mm));
  g.raw_height_px = static_cast<int>(std::lround((g.paper_height_mm + 2 * scan.margin_mm) * px_per_mm));

  const double c = px_per_mm * std::cos(scan.skew_deg * M_PI / 180);
  const double s = px_per_mm * std::sin(scan.skew_deg * M_PI / 180);
  const double middle_x = g.paper_width_mm / 2;
  const double middle_y = g.paper_height_mm / 2;
  g.raw_from_paper = {c, -s, g.raw_width_px / 2.0 - c * middle_x + s * middle_y,
                      s, c,  g.raw_height_px / 2.0 - s * middle_x - c * middle_y};
  g.paper_from_sheet = {print.stretch_x, 0, print.shift_x_mm, 0, print.stretch_y, print.shift_y_mm};
  g.raw_from_sheet = g.raw_from_paper * g.paper_from_sheet;

  const bool on_its_side = scan.turn_deg == 90 || scan.turn_deg == 270;
  g.width_px = on_its_side ? g.raw_height_px : g.raw_width_px;
  g.height_px = on_its_side ? g.raw_width_px : g.raw_height_px;
  const double w = g.raw_width_px;
  const Affine mirrored_from_raw = scan.face_mirrored ? Affine{-1, 0, w, 0, 1, 0} : Affine{};
  g.scan_from_sheet =
      turned_from_mirrored(scan.turn_deg, w, g.raw_height_px) * mirrored_from_raw * g.raw_from_sheet;
  return g;
}

}  // namespace scrapetrace::press
