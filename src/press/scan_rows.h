#pragma once
// The print as the scanner's pixels see it before blur: each raw scan pixel is the mean light over its own
// area, integrated exactly over strips and raster rows (for a skewed sheet over the pixel sheared along the
// print, which has the same area and centre). Rows are asked for in increasing order.

#include <vector>

#include "press/row_printer.h"
#include "press/scan_from_sheet.h"
#include "press/strips.h"

namespace scrapetrace::press {

class ScanRows {
 public:
  ScanRows(const ScanGeometry& geometry, const Layout& layout, const Strips& strips,
           const RowPrinter& printer, double bed);

  // Pixels [u_from, u_from + count) of raw scan row v, which may lie outside the image; three floats each.
  void take(int v, int u_from, int count, float* out);

 private:
  const Light* printed_row(int r);
  [[nodiscard]] double paper_coverage(double u, double v) const;
  Light integrate(int u, int v, int& hint);
  [[nodiscard]] Light mean_across(const Light* row, double from_mm, double to_mm, int& hint) const;

  const Strips& strips_;
  const RowPrinter& printer_;
  Affine sheet_from_raw_;
  Affine paper_from_raw_;
  double paper_width_mm_;
  double paper_height_mm_;
  double px_per_mm_;
  double rows_per_mm_;
  float bed_;
  RowPrinter::Scratch scratch_;
  std::vector<Light> ring_;       // kRing rows of strips
  std::vector<int> row_in_slot_;  // which raster row a slot holds
};

}  // namespace scrapetrace::press
