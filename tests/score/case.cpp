#include "score/case.h"

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"

namespace scrapetrace::score {

namespace {

constexpr double kPrintMargin_mm = 1.0;  // a whole streak ends this far inside the print, or more
constexpr double kLeastSeen_mm = 1.0;    // of a cut streak
constexpr double kSmallMark_mm = 30;     // patches narrower than this keep their length

}  // namespace

Chart shortened(const Chart& chart, double fraction) {
  const auto new_length = [&](const Patch& p) {
    const double length = p.y_mm[1] - p.y_mm[0];
    return p.x_mm[1] - p.x_mm[0] < kSmallMark_mm ? length : fraction * length;
  };
  // How much of the sheet above y is left out: patches side by side shrink once.
  const auto saved_above = [&](double y_mm) {
    double saved = 0;
    double counted_to = 0;
    for (const Patch& p : chart.patches) {
      if (p.y_mm[1] > y_mm || p.y_mm[0] < counted_to) continue;
      saved += p.y_mm[1] - p.y_mm[0] - new_length(p);
      counted_to = p.y_mm[1];
    }
    return saved;
  };
  Chart out = chart;
  out.marks.clear();
  for (Patch& p : out.patches) {
    const double from_mm = p.y_mm[0] - saved_above(p.y_mm[0]);
    p.y_mm = {from_mm, from_mm + new_length(p)};
  }
  out.sheet_mm[1] -= saved_above(chart.sheet_mm[1]);
  return out;
}

Interval touched_drum(const Layout& layout, const Residue& residue) {
  double low = 0;
  double high = 0;
  for (int k = 0; k < layout.passes(); ++k) {
    const double shift_mm = layout.shift_of(residue.carriage, k) * layout.px_mm();
    low = k == 0 ? shift_mm : std::min(low, shift_mm);
    high = k == 0 ? shift_mm : std::max(high, shift_mm);
  }
  return {residue.x_mm + low, residue.x_mm + residue.width_mm + high};
}

Interval printed_drum(const Layout& layout, const Chart& chart) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  double from_mm = chart.sheet_mm[0];
  double to_mm = 0;
  for (const Patch& patch : chart.patches) {
    from_mm = std::min(from_mm, patch.x_mm[0]);
    to_mm = std::max(to_mm, patch.x_mm[1]);
  }
  const double a = sheet_from_drum.drum_x(from_mm);
  const double b = sheet_from_drum.drum_x(to_mm);
  return {std::min(a, b), std::max(a, b)};
}

bool may_be_drawn(CaseKind kind, Interval touched, Interval printed) {
  const bool whole =
      touched.from_mm > printed.from_mm + kPrintMargin_mm && touched.to_mm < printed.to_mm - kPrintMargin_mm;
  if (kind != CaseKind::cut) return whole;
  const double seen_mm = std::min(touched.to_mm, printed.to_mm) - std::max(touched.from_mm, printed.from_mm);
  return seen_mm >= kLeastSeen_mm && (touched.from_mm < printed.from_mm || touched.to_mm > printed.to_mm);
}

}  // namespace scrapetrace::score
