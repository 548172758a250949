#include "press/scan_rows.h"

#include <algorithm>
#include <bit>
#include <climits>
#include <cmath>

namespace scrapetrace::press {

ScanRows::ScanRows(const ScanGeometry& geometry, const Layout& layout, const Strips& strips,
                   const RowPrinter& printer, double bed)
    : strips_(strips),
      printer_(printer),
      sheet_from_raw_(geometry.raw_from_sheet.inverse()),
      paper_from_raw_(geometry.raw_from_paper.inverse()),
      paper_width_mm_(geometry.paper_width_mm),
      paper_height_mm_(geometry.paper_height_mm),
      px_per_mm_(std::hypot(geometry.raw_from_paper.xx, geometry.raw_from_paper.yx)),
      per_half_(2 / sheet_from_raw_.xx),
      rows_per_mm_(layout.raster.process_dpi / 25.4),
      bed_(static_cast<float>(bed)) {
  // A skewed scan row crosses this many raster rows; a few more for its height and the next row's.
  const double slope_mm = std::abs(sheet_from_raw_.yx) * (geometry.raw_width_px + 200);
  const std::size_t slots =
      std::bit_ceil(static_cast<std::size_t>((slope_mm + sheet_from_raw_.yy) * rows_per_mm_) + 8);
  row_in_slot_.assign(slots, INT_MIN);
  ring_.resize(slots * static_cast<std::size_t>(strips.count()));
}

const Light* ScanRows::printed_row(int r) {
  const std::size_t slot = static_cast<std::size_t>(r) & (row_in_slot_.size() - 1);
  Light* row = ring_.data() + slot * static_cast<std::size_t>(strips_.count());
  if (row_in_slot_[slot] != r) {
    printer_.print(r, scratch_, row);
    row_in_slot_[slot] = r;
  }
  return row;
}

// Fraction of the half pixel centred at (u, v) that lies on paper; exact when the paper is not skewed.
double ScanRows::paper_coverage(double u, double v) const {
  const Point p = paper_from_raw_({u, v});
  const auto along = [](double at_mm, double length_mm, double per_mm) {
    return std::clamp(std::min(at_mm, length_mm - at_mm) * per_mm + 0.5, 0.0, 1.0);
  };
  return along(p.x, paper_width_mm_, 2 * px_per_mm_) * along(p.y, paper_height_mm_, px_per_mm_);
}

// Mean of a row over half a pixel across from `from_mm`; `hint` is a strip near it.
Light ScanRows::mean_across(const Light* row, double from_mm, int& hint) const {
  const double to_mm = from_mm + sheet_from_raw_.xx / 2;
  const double* edge = strips_.edges_mm.data();
  int i = hint;
  while (i > 0 && edge[i] > from_mm) --i;
  while (i < strips_.count() - 1 && edge[i + 1] <= from_mm) ++i;
  hint = i;
  if (to_mm <= edge[i + 1]) return row[i];
  Light sum{};
  double at = from_mm;
  for (; i < strips_.count() - 1 && edge[i + 1] < to_mm; ++i) {
    const auto weight = static_cast<float>((edge[i + 1] - at) * per_half_);
    for (std::size_t c = 0; c < 4; ++c) sum[c] += weight * row[i][c];
    at = edge[i + 1];
  }
  const auto weight = static_cast<float>((to_mm - at) * per_half_);
  for (std::size_t c = 0; c < 4; ++c) sum[c] += weight * row[i][c];
  return sum;
}

// Over the raster rows that the pixel covers, each weighted by its share of the pixel's height.
ScanRows::Halves ScanRows::integrate(int u, int v, int& hint) {
  const double row_of_top = sheet_from_raw_({u + 0.5, double(v)}).y * rows_per_mm_;
  const double rows_per_px = sheet_from_raw_.yy * rows_per_mm_;
  const double row_of_bottom = row_of_top + rows_per_px;
  const double half_mm = sheet_from_raw_.xx / 2;
  const int last = static_cast<int>(std::ceil(row_of_bottom)) - 1;
  Halves sum;
  double top = row_of_top;
  for (int r = static_cast<int>(std::floor(row_of_top)); r <= last; ++r) {
    const double bottom = std::min(r + 1.0, row_of_bottom);
    const double v_middle = v + ((top + bottom) / 2 - row_of_top) / rows_per_px;
    const double from_mm = sheet_from_raw_.xx * u + sheet_from_raw_.xy * v_middle + sheet_from_raw_.x0;
    const Light* row = printed_row(r);
    const Light left = mean_across(row, from_mm, hint);
    const Light right = mean_across(row, from_mm + half_mm, hint);
    const auto weight = static_cast<float>((bottom - top) / rows_per_px);
    for (std::size_t c = 0; c < 4; ++c) {
      sum.left[c] += weight * left[c];
      sum.right[c] += weight * right[c];
    }
    top = bottom;
  }
  return sum;
}

void ScanRows::take(int v, int u_from, int count, float* left, float* right) {
  int hint = 0;
  for (int u = u_from; u < u_from + count; ++u, left += 3, right += 3) {
    const auto paper_left = static_cast<float>(paper_coverage(u + 0.25, v + 0.5));
    const auto paper_right = static_cast<float>(paper_coverage(u + 0.75, v + 0.5));
    Halves light;
    if (paper_left > 0 || paper_right > 0) light = integrate(u, v, hint);
    for (std::size_t c = 0; c < 3; ++c) {
      left[c] = paper_left * light.left[c] + (1 - paper_left) * bed_;
      right[c] = paper_right * light.right[c] + (1 - paper_right) * bed_;
    }
  }
}

}  // namespace scrapetrace::press
