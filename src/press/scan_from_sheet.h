#pragma once
// Maps the printed sheet to the rendered scan.
//
// The sheet frame here is the chart's: the printed image is the datum. The paper's corner lies at chart
// (-shift/stretch): print.shift_*_mm moves the print on the paper, print.stretch_* stretches both. The
// paper's centre is the image's centre; skew rotates clockwise about it (v points down).

#include "scrapetrace/chart.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

struct Point {
  double x = 0;
  double y = 0;
};

// x' = xx * x + xy * y + x0, y' = yx * x + yy * y + y0.
struct Affine {
  double xx = 1, xy = 0, x0 = 0;
  double yx = 0, yy = 1, y0 = 0;
  [[nodiscard]] Point operator()(Point p) const {
    return {xx * p.x + xy * p.y + x0, yx * p.x + yy * p.y + y0};
  }
  [[nodiscard]] Affine inverse() const;
};
// (a_from_b * b_from_c)(p) = a_from_b(b_from_c(p)).
Affine operator*(const Affine& a_from_b, const Affine& b_from_c);

struct ScanGeometry {
  int raw_width_px = 0;  // before mirroring and turn; scanner lines refer to it
  int raw_height_px = 0;
  int width_px = 0;  // of the finished image
  int height_px = 0;
  double paper_width_mm = 0;  // stretched
  double paper_height_mm = 0;
  Affine raw_from_paper;    // px from mm on the stretched paper, origin its corner
  Affine paper_from_sheet;  // stretch and shift
  Affine raw_from_sheet;
  Affine scan_from_sheet;  // to the finished image: mirrored, then turned
};

ScanGeometry scan_geometry(const Chart& chart, const PrintOptions& print, const ScanOptions& scan);

}  // namespace scrapetrace::press
