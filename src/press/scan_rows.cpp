#include "press/scan_rows.h"

#include <algorithm>
#include <bit>
#include <climits>
#include <cmath>

#include "base/wide.h"

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
  // A skewed scan row crosses this many raster rows, plus a few for its height and the next row's.
  const double slope_mm = std::abs(sheet_from_raw_.yx) * (geometry.raw_width_px + 200);
  const std::size_t slots =
      std::bit_ceil(static_cast<std::size_t>((slope_mm + sheet_from_raw_.yy) * rows_per_mm_) + 8);
  row_in_slot_.assign(slots, INT_MIN);
  ring_.resize(slots * static_cast<std::size_t>(strips.count()));
}

inline const Light* ScanRows::printed_row(int r) {
  const std::size_t slot = static_cast<std::size_t>(r) & (row_in_slot_.size() - 1);
  Light* row = ring_.data() + slot * static_cast<std::size_t>(strips_.count());
  if (row_in_slot_[slot] != r) {
    printer_.print(r, scratch_, row);
    row_in_slot_[slot] = r;
  }
  return row;
}

// Fraction of the half pixel centred at (u, v) on paper; exact without skew.
inline double ScanRows::paper_coverage(double u, double v) const {
  const Point p = paper_from_raw_({u, v});
  const auto along = [](double at_mm, double length_mm, double per_mm) {
    return std::clamp(std::min(at_mm, length_mm - at_mm) * per_mm + 0.5, 0.0, 1.0);
  };
  return along(p.x, paper_width_mm_, 2 * px_per_mm_) * along(p.y, paper_height_mm_, px_per_mm_);
}

// The raster rows that a pixel covers, each with its share of the pixel's height.
inline void ScanRows::find_rows(int u, int v) {
  const double row_of_top = sheet_from_raw_({u + 0.5, double(v)}).y * rows_per_mm_;
  if (row_of_top == found_for_) return;  // constant along a scan row without skew
  found_for_ = row_of_top;
  const double rows_per_px = sheet_from_raw_.yy * rows_per_mm_;
  const double row_of_bottom = row_of_top + rows_per_px;
  const int last = static_cast<int>(std::ceil(row_of_bottom)) - 1;
  covered_.clear();
  double top = row_of_top;
  for (int r = static_cast<int>(std::floor(row_of_top)); r <= last; ++r) {
    const double bottom = std::min(r + 1.0, row_of_bottom);
    covered_.push_back({printed_row(r), static_cast<float>((bottom - top) / rows_per_px)});
    top = bottom;
  }
}

// `strip` starts near the pixel and becomes the one at its left end.
inline ScanRows::Halves ScanRows::integrate(int u, int v, int& strip) {
  find_rows(u, v);
  const double from_mm = sheet_from_raw_({double(u), v + 0.5}).x;
  const double middle_mm = from_mm + sheet_from_raw_.xx / 2;
  const double to_mm = from_mm + sheet_from_raw_.xx;
  const double* edge = strips_.edges_mm.data();
  const int strips = strips_.count();
  while (strip > 0 && edge[strip] > from_mm) --strip;
  while (strip < strips - 1 && edge[strip + 1] <= from_mm) ++strip;
  Halves sum;
  for (int i = strip; i < strips && edge[i] < to_mm; ++i) {
    Light light{};
    for (const CoveredRow& row : covered_) {
      for (std::size_t c = 0; c < 4; ++c) light[c] += row.share * row.light[i][c];
    }
    const double left_mm = std::max(edge[i], from_mm);
    const double right_mm = std::min(edge[i + 1], to_mm);
    const auto left = static_cast<float>(std::max(0.0, std::min(right_mm, middle_mm) - left_mm) * per_half_);
    const auto right = static_cast<float>(std::max(0.0, right_mm - std::max(left_mm, middle_mm)) * per_half_);
    for (std::size_t c = 0; c < 4; ++c) {
      sum.left[c] += left * light[c];
      sum.right[c] += right * light[c];
    }
  }
  return sum;
}

SCRAPETRACE_WIDE void ScanRows::take(int v, int u_from, int count, float* left, float* right) {
  int strip = 0;
  for (int u = u_from; u < u_from + count; ++u, left += 3, right += 3) {
    const auto paper_left = static_cast<float>(paper_coverage(u + 0.25, v + 0.5));
    const auto paper_right = static_cast<float>(paper_coverage(u + 0.75, v + 0.5));
    Halves light;
    if (paper_left > 0 || paper_right > 0) light = integrate(u, v, strip);
    for (std::size_t c = 0; c < 3; ++c) {
      left[c] = paper_left * light.left[c] + (1 - paper_left) * bed_;
      right[c] = paper_right * light.right[c] + (1 - paper_right) * bed_;
    }
  }
}

}  // namespace scrapetrace::press
