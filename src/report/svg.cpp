#include "report/svg.h"

#include <fmt/format.h>

#include <cmath>

#include "report/base64.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

std::string number(double value) {
  const double rounded = std::round(value * 100) / 100 + 0.0;
  return fmt::format("{:.6g}", std::isfinite(rounded) ? rounded : 0.0);
}

std::string stroke_attributes(const Stroke& stroke) {
  if (stroke.width <= 0) return {};
  std::string out = fmt::format(" stroke=\"{}\" stroke-width=\"{}\"", stroke.colour, number(stroke.width));
  if (!stroke.dash.empty()) out += fmt::format(" stroke-dasharray=\"{}\"", stroke.dash);
  return out;
}

const char* anchor_word(Anchor anchor) {
  if (anchor == Anchor::middle) return "middle";
  return anchor == Anchor::end ? "end" : "start";
}

}  // namespace

std::string xml_text(std::string_view text) {
  std::string out;
  for (const char c : printable(text)) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

double text_width(std::string_view text, const Font& font) {
  constexpr double kPerCharacter =
      0.6;  // of the font size; wider than the average of common sans-serif fonts
  std::size_t characters = 0;
  for (const char c : text) characters += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U ? 1 : 0;
  return static_cast<double>(characters) * font.size * kPerCharacter * (font.bold ? 1.1 : 1.0);
}

void Svg::rect(double x, double y, double w, double h, std::string_view fill, const Stroke& stroke) {
  body_ += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{}\"{}/>\n", number(x),
                       number(y), number(w), number(h), fill, stroke_attributes(stroke));
}

void Svg::line(double x1, double y1, double x2, double y2, const Stroke& stroke) {
  body_ += fmt::format("<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}/>\n", number(x1), number(y1),
                       number(x2), number(y2), stroke_attributes(stroke));
}

void Svg::polygon(std::string_view points, std::string_view fill, const Stroke& stroke) {
  body_ += fmt::format("<polygon points=\"{}\" fill=\"{}\"{}/>\n", points, fill, stroke_attributes(stroke));
}

void Svg::polyline(std::string_view points, const Stroke& stroke) {
  body_ += fmt::format("<polyline points=\"{}\" fill=\"none\"{}/>\n", points, stroke_attributes(stroke));
}

void Svg::text(double x, double y, std::string_view text, const Font& font) {
  body_ +=
      fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\" fill=\"{}\"{}>{}</text>\n",
                  number(x), number(y), number(font.size), anchor_word(font.anchor), font.colour,
                  font.bold ? " font-weight=\"bold\"" : "", xml_text(text));
}

void Svg::image(double x, double y, double w, double h, std::string_view png, std::string_view href) {
  body_ += fmt::format(
      "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\" "
      "{}=\"data:image/png;base64,{}\"/>\n",
      number(x), number(y), number(w), number(h), href, base64(png));
}

void Svg::open_group(std::string_view names) {
  body_ += fmt::format("<g class=\"{}\">\n", xml_text(names));
}

void Svg::open_link(std::string_view names, std::string_view target, std::string_view label) {
  body_ += fmt::format("<a class=\"{}\" href=\"{}\" aria-label=\"{}\">\n", xml_text(names), xml_text(target),
                       xml_text(label));
}

std::string Svg::finish(double width, double height, std::string_view background, std::string_view defs) && {
  std::string out = fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"{0}\" "
      "height=\"{1}\" viewBox=\"0 0 {0} {1}\" font-family=\"DejaVu Sans, Liberation Sans, Arial, "
      "sans-serif\">\n",
      number(width), number(height));
  if (!defs.empty()) out += fmt::format("<defs>{}</defs>\n", defs);
  out += fmt::format("<rect width=\"{}\" height=\"{}\" fill=\"{}\"/>\n", number(width), number(height),
                     background);
  return out + body_ + "</svg>\n";
}

std::string Svg::finish_inline(double width, double height, std::string_view label,
                               std::string_view defs) && {
  std::string out = fmt::format(
      "<svg viewBox=\"0 0 {} {}\" role=\"group\" aria-label=\"{}\" font-family=\"DejaVu Sans, Liberation "
      "Sans, "
      "Arial, sans-serif\">\n",
      number(width), number(height), xml_text(label));
  if (!defs.empty()) out += fmt::format("<defs>{}</defs>\n", defs);
  return out + body_ + "</svg>\n";
}

std::string svg_point(double x, double y) {
  return number(x) + ',' + number(y) + ' ';
}

}  // namespace scrapetrace::report
