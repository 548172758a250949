#pragma once
// Common axes of the drawings of a streak: sheet x across, ink up.

#include <algorithm>
#include <string>
#include <string_view>

#include "report/svg.h"
#include "report/units.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::report::profile_axes {

inline constexpr double kWidth = 480;
inline constexpr double kLeft = 56;
inline constexpr double kRight = kWidth - 10;
inline constexpr double kRowHeight = 72;
inline constexpr double kRowGap = 24;
inline constexpr std::string_view kDark = "#1c2733";
inline constexpr std::string_view kGrey = "#5d6b76";
inline constexpr std::string_view kRule = "#c5ccd1";
inline constexpr std::string_view kMeasured = "#7f8d97";
inline constexpr std::string_view kModel = "#a8231c";

struct Window {
  double from_mm = 0;  // sheet x
  double to_mm = 1;
  [[nodiscard]] double px(double x_mm) const {
    return kLeft + (x_mm - from_mm) / (to_mm - from_mm) * (kRight - kLeft);
  }
};

struct Scale {
  double low = 0;
  double high = 1.1;
  [[nodiscard]] double px(double value, double top) const {
    return top + (high - std::clamp(value, low, high)) / (high - low) * kRowHeight;
  }
};

// Grid lines at round values: fractions of ink or, on paper, densities.
void draw_grid(Svg& svg, const Scale& scale, bool paper, double top, std::string_view title);

// The streak's extent, in the background.
void draw_extent(Svg& svg, const Interval& x_sheet_mm, const Window& window, double top, double bottom);

// Lengths from the sheet's left edge.
void draw_axis(Svg& svg, const Window& window, LengthUnit unit, double top);

}  // namespace scrapetrace::report::profile_axes
