#pragma once
// The print as the scanner's pixels see it before blur: mean light over an area, integrated exactly over
// strips and raster rows, over a rotated box for a skewed sheet. Each pixel is taken in two halves, since ink
// columns are about as fine as pixels: whole pixels would alias their pattern before the blur.

#include <limits>
#include <vector>

#include "press/row_printer.h"
#include "press/scan_from_sheet.h"
#include "press/strips.h"

namespace scrapetrace::press {

class ScanRows {
 public:
  ScanRows(const ScanGeometry& geometry, const Layout& layout, const Strips& strips,
           const RowPrinter& printer, double bed);

  // Left and right halves of pixels [u_from, u_from + count) of raw scan row v, which may lie outside the
  // image; three floats each.
  void take(int v, int u_from, int count, float* left, float* right);

 private:
  const Light* printed_row(int r);
  [[nodiscard]] double paper_coverage(double u, double v) const;
  struct Halves {
    Light left{};
    Light right{};
  };
  // A raster row under the current pixel.
  struct CoveredRow {
    const Light* light = nullptr;
    float share = 0;
  };
  void find_rows(int u, int v);
  Halves integrate(int u, int v, int& strip);

  const Strips& strips_;
  const RowPrinter& printer_;
  Affine sheet_from_raw_;
  Affine paper_from_raw_;
  double paper_width_mm_;
  double paper_height_mm_;
  double px_per_mm_;
  double per_half_;  // half pixels per sheet mm across
  double rows_per_mm_;
  float bed_;
  RowPrinter::Scratch scratch_;
  std::vector<Light> ring_;  // printed raster rows, a ring buffer of a power of two
  std::vector<CoveredRow> covered_;
  double found_for_ = std::numeric_limits<double>::quiet_NaN();  // top of the pixel that `covered_` describes
  std::vector<int> row_in_slot_;                                 // which raster row a slot holds
};

}  // namespace scrapetrace::press
