#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/fit_report.h"
#include "report/html_page.h"
#include "report/html_sections.h"
#include "report/picture_style.h"
#include "report/svg.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

Markup cell(std::string_view column, std::string_view text, std::string_view classes = "") {
  return element("td", text, {{"class", classes}, {"data-name", column}});
}

Markup number_cell(std::string_view column, std::string_view text) {
  return cell(column, text, "number");
}

Markup table_of(std::initializer_list<std::string_view> columns, const Markup& rows) {
  return headed_table(columns, rows, "cards keys");
}

Markup row(std::string_view name, const Markup& cells, std::string_view mark = "") {
  return element("tr", element("th", name, {{"scope", "row"}}) + cells, {{"class", mark}});
}

Markup determined_section(const LayoutFit& fit) {
  Markup rows;
  for (const FittedKey& key : fit.keys) {
    if (!key.fitted) continue;
    const std::string range =
        key.low < key.high ? fmt::format("{} to {}", key_value(key, key.low), key_value(key, key.high)) : "-";
    rows += row(printable(key.key),
                number_cell("Value", key_value(key, key.after)) + number_cell("95 %", range) +
                    number_cell("Was", key_value(key, key.before)) + cell("Remark", printable(key.note)));
  }
  if (rows.empty()) return section("determined", "Determined", element("p", "No key."));
  return section("determined", "Determined", table_of({"Key", "Value", "95 %", "Was", "Remark"}, rows));
}

Markup kept_section(const LayoutFit& fit) {
  Markup rows;
  for (const FittedKey& key : fit.keys) {
    if (!key.fitted)
      rows += row(printable(key.key),
                  number_cell("Value", key_value(key, key.after)) + cell("Why", printable(key.note)));
  }
  std::string beyond;
  for (const auto name : keys_beyond_places()) beyond += (beyond.empty() ? "" : ", ") + std::string(name);
  Markup out = rows.empty() ? Markup{} : table_of({"Key", "Value", "Why"}, rows);
  out += element("p", fmt::format("Known places say nothing of {}.", beyond));
  return section("kept", "Not determined, kept from the starting layout", out);
}

Markup heads_section(const LayoutFit& fit) {
  Markup rows;
  for (const FittedHead& head : fit.heads) {
    const bool reference = head.head == fit.reference;
    rows += row("head " + printable(head.head),
                number_cell("Moved", reference ? "reference, stays" : decimals(head.moved_mm, 3) + " mm") +
                    number_cell("95 %", reference ? "-"
                                                  : fmt::format("{} to {} mm", decimals(head.low_mm, 3),
                                                                decimals(head.high_mm, 3))) +
                    cell("Whole columns",
                         fmt::format("{}{}", head.columns, head.columns_sure ? "" : ", may be one off")) +
                    number_cell("Left over", decimals(head.left_over_mm, 3) + " mm"));
  }
  if (rows.empty()) return {};
  return section("heads", "Heads against the reference head",
                 table_of({"Head", "Moved", "95 %", "Whole columns", "Left over"}, rows));
}

// A dot per place for its residual, between bounds of two expected standard deviations.
Markup residuals_drawing(const LayoutFit& fit) {
  constexpr double kRow = 22;
  constexpr double kRuler = 320;
  constexpr double kLetter = 7.4;
  double most = 1e-3;
  std::size_t letters = 0;
  for (const auto& place : fit.places) {
    most = std::max({most, std::abs(place.residual_mm), 2 * place.sigma_mm});
    letters = std::max(letters, printable(place.name).size());
  }
  // As narrow as the names allow, for phones.
  const double left = 40 + kLetter * static_cast<double>(letters);
  const double right = left + kRuler;
  const auto x = [&](double value) { return (left + right) / 2 + value / most * (right - left) / 2; };
  const double height = kRow * (static_cast<double>(fit.places.size()) + 2);
  std::string out = fmt::format(
      "<svg viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\" aria-label=\"how far each place lies off\" "
      "font-family=\"DejaVu Sans, sans-serif\" font-size=\"12\">",
      right + 20, height);
  out += fmt::format("<line x1=\"{0:.1f}\" x2=\"{0:.1f}\" y1=\"4\" y2=\"{1:.1f}\" stroke=\"#46535e\"/>", x(0),
                     height - kRow - 4);
  for (std::size_t i = 0; i < fit.places.size(); ++i) {
    const FittedPlace& place = fit.places[i];
    const double y = kRow * (static_cast<double>(i) + 0.8);
    out += fmt::format("<text x=\"8\" y=\"{:.1f}\" fill=\"#1c2733\">{}</text>", y + 4,
                       xml_text(printable(place.name)));
    out += fmt::format(
        "<line x1=\"{:.1f}\" x2=\"{:.1f}\" y1=\"{:.1f}\" y2=\"{:.1f}\" stroke=\"#8a949c\" "
        "stroke-width=\"5\"/>",
        x(-2 * place.sigma_mm), x(2 * place.sigma_mm), y, y);
    out += fmt::format(
        "<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"4.5\" fill=\"{}\" stroke=\"#1c2733\" "
        "stroke-width=\"2\"/>",
        x(place.residual_mm), y, place.used ? "#1c2733" : "#ffffff");
  }
  for (const double value : {-most, 0.0, most}) {
    out += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" fill=\"#46535e\" text-anchor=\"middle\">{} mm</text>",
                       std::clamp(x(value), left, right - 20), height - 6, decimals(value, 3));
  }
  return Markup::trusted(out + "</svg>");
}

Markup places_section(const LayoutFit& fit) {
  Markup list;
  for (const FittedPlace& place : fit.places)
    list += element("li", place_words(place), {{"class", place.used ? "" : "never"}});
  return section(
      "places", "Places",
      element("figure",
              residuals_drawing(fit) +
                  element("figcaption",
                          "Each place: dot, how far it lies off what the fitted layout expects; bar, "
                          "two standard deviations to either side. Empty dot: left out."),
              {{"class", "profile"}}) +
          element("ul", list) + element("p", noise_words(fit)));
}

}  // namespace

std::string fit_html(const LayoutFit& fit, const Provenance& provenance) {
  const std::string sentence = fit_sentence(fit);
  const auto left_out = std::count_if(fit.places.begin(), fit.places.end(),
                                      [](const FittedPlace& place) { return !place.used; });
  HtmlPage page;
  page.title = sentence;
  page.header =
      element("p", "scrapetrace layout fit: " + printable(fit.layout.name), {{"class", "kicker"}}) +
      element("h1", sentence) +
      element("p", left_out == 0 ? "NO PLACE CONTRADICTS" : "LOOK AT THE PLACES LEFT OUT",
              {{"class", "verdict"}}) +
      element("p",
              "Next: hold the fitted layout against a print of known state with locate before you trust it, "
              "and keep this page with it.") +
      html_links({{"determined", "Determined"},
                  {"kept", "Kept"},
                  {"places", "Places"},
                  {"repeat", "To repeat this"}});
  page.main = determined_section(fit);
  page.main += kept_section(fit);
  page.main += heads_section(fit);
  page.main += places_section(fit);
  page.main += html_glossary(page.main);
  page.main += html_provenance(provenance);
  return html_page(page);
}

}  // namespace scrapetrace::report
