#include "score/panel.h"

#include <algorithm>
#include <cmath>

#include "report/picture_style.h"

namespace scrapetrace::score {

using report::Anchor;
using report::Stroke;
using report::Svg;
namespace picture = report::picture;

namespace {

constexpr double kTick = 10;  // lettering
constexpr double kLegendLine = 17;
constexpr double kLegendWidth = 205;

double part(const Axis& axis, double value) {
  if (!axis.logarithmic) return (value - axis.from) / (axis.to - axis.from);
  const double least = std::max(value, axis.from * 1e-3);
  return std::log(least / axis.from) / std::log(axis.to / axis.from);
}

}  // namespace

Panel::Panel(Svg& svg, double left, double top, double width, double height, Axis across, Axis up)
    : svg_(svg),
      left_(left),
      top_(top),
      width_(width),
      height_(height),
      across_(std::move(across)),
      up_(std::move(up)) {}

double Panel::x(double value) const {
  return left_ + width_ * std::clamp(part(across_, value), 0.0, 1.0);
}

double Panel::y(double value) const {
  return top_ + height_ * (1 - std::clamp(part(up_, value), 0.0, 1.0));
}

void Panel::frame(const std::string& title) const {
  svg_.rect(left_, top_, width_, height_, picture::kPaper, {picture::kRule, 1});
  svg_.text(left_, top_ - 12, title, {15, true, Anchor::start, picture::kInk});
  for (const auto& [value, words] : across_.ticks) {
    svg_.line(x(value), top_ + height_, x(value), top_ + height_ + 5, {picture::kRule, 1});
    svg_.text(x(value), top_ + height_ + 18, words, {kTick, false, Anchor::middle, picture::kMuted});
  }
  for (const auto& [value, words] : up_.ticks) {
    svg_.line(left_, y(value), left_ + width_, y(value), {"#e4e7ea", 1});
    svg_.text(left_ - 6, y(value) + 4, words, {kTick, false, Anchor::end, picture::kMuted});
  }
  svg_.text(left_ + width_ / 2, top_ + height_ + 36, across_.title,
            {12, false, Anchor::middle, picture::kInk});
  svg_.text(left_ + 6, top_ + 16, up_.title, {12, false, Anchor::start, picture::kInk});
}

void Panel::curve(const std::vector<std::pair<double, double>>& points, const Stroke& stroke) const {
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
    svg_.line(x(points[i].first), y(points[i].second), x(points[i + 1].first), y(points[i + 1].second),
              stroke);
}

void Panel::dot(double at_x, double at_y, double size, std::string_view colour) const {
  svg_.rect(x(at_x) - size / 2, y(at_y) - size / 2, size, size, colour);
}

void Panel::whisker(double at_x, double low, double high, std::string_view colour) const {
  svg_.line(x(at_x), y(low), x(at_x), y(high), {colour, 1.5});
}

void Panel::bar(double from_x, double to_x, double height, std::string_view colour) const {
  svg_.rect(x(from_x), y(height), x(to_x) - x(from_x), y(up_.from) - y(height), colour);
}

void Panel::legend(int row, const std::string& words, const Stroke& stroke) const {
  const double at_y = top_ + height_ - 14 - kLegendLine * row;
  const double at_x = left_ + width_ - kLegendWidth;
  svg_.line(at_x, at_y - 4, at_x + 26, at_y - 4, stroke);
  svg_.text(at_x + 32, at_y, words, {kTick, false, Anchor::start, picture::kInk});
}

}  // namespace scrapetrace::score
