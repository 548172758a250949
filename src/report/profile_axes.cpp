#include "report/profile_axes.h"

#include <fmt/format.h>

#include <cmath>
#include <vector>

#include "report/words.h"

namespace scrapetrace::report::profile_axes {

void draw_grid(Svg& svg, const Scale& scale, bool paper, double top, std::string_view title) {
  svg.text(kLeft, top - 6, title, {13, false, Anchor::start, kDark});
  for (const double value : paper ? std::vector<double>{0, scale.high / 1.25}
                                  : std::vector<double>{scale.low, 0.5 * (scale.low + 1), 1}) {
    const double y = scale.px(value, top);
    svg.line(kLeft, y, kRight, y, {kRule, 1});
    svg.text(kLeft - 5, y + 4, paper ? decimals(value, 2) : fmt::format("{} %", decimals(100 * value, 0)),
             {12, false, Anchor::end, kGrey});
  }
}

void draw_extent(Svg& svg, const Interval& x_sheet_mm, const Window& window, double top, double bottom) {
  const double from = window.px(std::max(window.from_mm, x_sheet_mm.from_mm));
  const double to = window.px(std::min(window.to_mm, x_sheet_mm.to_mm));
  svg.rect(from, top, std::max(to - from, 1.0), bottom - top, "#eef1f3");
  for (const double x : {from, to}) svg.line(x, top, x, bottom, {kGrey, 1, "2,3"});
}

void draw_axis(Svg& svg, const Window& window, LengthUnit unit, double top) {
  const bool inch = unit == LengthUnit::inch;
  const double span = window.to_mm - window.from_mm;
  const double step = inch ? (span > 40 ? 0.5 : 0.1) : (span > 40 ? 10 : 2);
  const double step_mm = inch ? 25.4 * step : step;
  svg.line(kLeft, top, kRight, top, {kGrey, 1});
  const int last = static_cast<int>(std::floor(window.to_mm / step_mm));
  for (int i = static_cast<int>(std::ceil(window.from_mm / step_mm)); i <= last; ++i) {
    const double x = window.px(i * step_mm);
    svg.line(x, top, x, top + 5, {kGrey, 1});
    svg.text(x, top + 18, decimals(i * step, inch ? 1 : 0), {12, false, Anchor::middle, kGrey});
  }
  svg.text(kRight, top + 34, fmt::format("{} from the sheet's left edge", unit_word(unit)),
           {12, false, Anchor::end, kGrey});
}

}  // namespace scrapetrace::report::profile_axes
