#pragma once
// A frame with two axes to draw curves in.

#include <string>
#include <utility>
#include <vector>

#include "report/svg.h"

namespace scrapetrace::score {

struct Axis {
  double from = 0;
  double to = 1;
  bool logarithmic = false;
  std::vector<std::pair<double, std::string>> ticks;
  std::string title;
};

class Panel {
 public:
  // The plot's own box; titles and ticks stand around it.
  Panel(report::Svg& svg, double left, double top, double width, double height, Axis across, Axis up);

  [[nodiscard]] double x(double value) const;
  [[nodiscard]] double y(double value) const;
  void frame(const std::string& title) const;
  void curve(const std::vector<std::pair<double, double>>& points, const report::Stroke& stroke) const;
  void dot(double at_x, double at_y, double size, std::string_view colour) const;
  void whisker(double at_x, double low, double high, std::string_view colour) const;
  void bar(double from_x, double to_x, double height, std::string_view colour) const;
  // A line of a legend, `row` from 0, at the plot's lower right.
  void legend(int row, const std::string& words, const report::Stroke& stroke) const;

 private:
  report::Svg& svg_;
  double left_;
  double top_;
  double width_;
  double height_;
  Axis across_;
  Axis up_;
};

}  // namespace scrapetrace::score
