// A streak's place in detail, before and after.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"
#include "report/profile_axes.h"
#include "report/recheck_html.h"

namespace scrapetrace::report {

namespace {

using namespace profile_axes;

constexpr double kPairCropHeight = 84;
constexpr double kTitle = 20;
constexpr double kPairHalf_mm = 7;  // of the sheet to each side, when there is no crop

Window window_of(const StreakChange& change, const ShownPlace& before, const ShownPlace& after) {
  for (const auto* place : {&before, &after}) {
    if (place->crop) return {place->crop->left_mm, place->crop->left_mm + place->crop->width_mm};
  }
  return {change.x_sheet_mm - kPairHalf_mm, change.x_sheet_mm + kPairHalf_mm};
}

double amount(double loss, bool added) {
  return added ? -loss : 1 - loss;
}

Scale scale_of(const ShownPlace& before, const ShownPlace& after, bool added) {
  double least = 1;
  double most = 0.05;
  for (const auto* place : {&before, &after}) {
    for (const double loss : place->loss) {
      least = std::min(least, amount(loss, added));
      most = std::max(most, amount(loss, added));
    }
  }
  if (added) return {-0.25 * most, 1.25 * most};
  if (least > 0.85) return {0.8, 1.1};
  return least > 0.55 ? Scale{0.5, 1.1} : Scale{0, 1.1};
}

// Runs of neighbouring samples, with gaps where the scan shows nothing.
void draw_curve(Svg& svg, const Layout& layout, const ShownPlace& place, bool added, const Window& window,
                const Scale& scale, double top, const Stroke& stroke) {
  constexpr double kGap_mm = 1.0;
  const geometry::SheetFromDrum sheet_from_drum(layout);
  std::string points;
  double last = 0;
  for (std::size_t i = 0; i < place.loss.size(); ++i) {
    const double x = sheet_from_drum.sheet_x(place.x_drum_mm[i]);
    if (x < window.from_mm || x > window.to_mm) continue;
    if (!points.empty() && std::abs(x - last) > kGap_mm) {
      svg.polyline(points, stroke);
      points.clear();
    }
    points += svg_point(window.px(x), scale.px(amount(place.loss[i], added), top));
    last = x;
  }
  if (!points.empty()) svg.polyline(points, stroke);
}

double draw_crop(Svg& svg, const ShownPlace& place, std::string_view title, double top) {
  svg.text(kLeft, top + kTitle - 6, title, {13, true, Anchor::start, kDark});
  top += kTitle;
  if (place.crop) {
    svg.image(kLeft, top, kRight - kLeft, kPairCropHeight, place.crop->png, "href");
  } else {
    svg.text((kLeft + kRight) / 2, top + kPairCropHeight / 2, "not shown by any scan",
             {13, false, Anchor::middle, kGrey});
  }
  svg.rect(kLeft, top, kRight - kLeft, kPairCropHeight, "none", {kGrey, 1});
  return top + kPairCropHeight + 4;
}

}  // namespace

std::string change_drawing(const Layout& layout, const StreakChange& change, std::size_t number,
                           const ShownPlace& before, const ShownPlace& after, LengthUnit unit) {
  const Window window = window_of(change, before, after);
  const bool added = is_added(change);
  const Scale scale = scale_of(before, after, added);
  Svg svg;
  double y = draw_crop(svg, before, "before", 0);
  y = draw_crop(svg, after, "after", y) + kRowGap;
  draw_extent(svg, {change.x_sheet_mm - change.width_mm / 2, change.x_sheet_mm + change.width_mm / 2}, window,
              y, y + kRowHeight);
  draw_grid(svg, scale, added, y, added ? "ink too much (density)" : "ink there, all inks together");
  draw_curve(svg, layout, before, added, window, scale, y, {kMeasured, 3.5});
  draw_curve(svg, layout, after, added, window, scale, y, {kModel, 1.3});
  y += kRowHeight + 6;
  draw_axis(svg, window, unit, y);
  return std::move(svg).finish_inline(
      kWidth, y + 40, fmt::format("Streak {} enlarged, before and after the cleaning", number));
}

}  // namespace scrapetrace::report
