#pragma once
// A minimal SVG 1.1 writer: elements, attributes, escaped text, two decimals.

#include <string>
#include <string_view>

namespace scrapetrace::report {

// Escaped for text and attributes; characters that XML 1.0 forbids appear as \xNN.
std::string xml_text(std::string_view text);

struct Stroke {
  std::string_view colour = "none";
  double width = 0;
  std::string_view dash = {};  // as in stroke-dasharray
};

enum class Anchor { start, middle, end };

struct Font {
  double size = 14;
  bool bold = false;
  Anchor anchor = Anchor::start;
  std::string_view colour = "#1c2733";
};

// An upper estimate of a text's width in common sans-serif fonts.
double text_width(std::string_view text, const Font& font);

class Svg {
 public:
  void rect(double x, double y, double w, double h, std::string_view fill, const Stroke& stroke = {});
  void line(double x1, double y1, double x2, double y2, const Stroke& stroke);
  void polygon(std::string_view points, std::string_view fill, const Stroke& stroke = {});
  void polyline(std::string_view points, const Stroke& stroke);
  void text(double x, double y, std::string_view text, const Font& font);
  // `png` is a PNG file, stretched to the box. SVG 1.1 wants xlink:href, HTML pages href.
  void image(double x, double y, double w, double h, std::string_view png,
             std::string_view href = "xlink:href");
  // Opens a group until the matching close_group(); `names` are its classes, separated by spaces.
  void open_group(std::string_view names);
  // The same as a link to a section of the page, with an accessible name. Closed by close_link().
  void open_link(std::string_view names, std::string_view target, std::string_view label);
  void close_group() { body_ += "</g>\n"; }
  void close_link() { body_ += "</a>\n"; }
  // The document on a background; `defs` is the content of <defs>, such as patterns.
  [[nodiscard]] std::string finish(double width, double height, std::string_view background,
                                   std::string_view defs = "") &&;
  // The same for an HTML page: without size, `label` as accessible name.
  [[nodiscard]] std::string finish_inline(double width, double height, std::string_view label,
                                          std::string_view defs = "") &&;

 private:
  std::string body_;
};

// "x,y " for a polygon's list of points.
std::string svg_point(double x, double y);

}  // namespace scrapetrace::report
