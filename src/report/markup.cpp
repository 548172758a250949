#include "report/markup.h"

#include <fmt/format.h>

#include "report/svg.h"

namespace scrapetrace::report {

Markup words(std::string_view text) {
  return Markup::trusted(xml_text(text));
}

Markup element(std::string_view tag, const Markup& content, Attributes attributes) {
  std::string out = fmt::format("<{}", tag);
  for (const auto& [name, value] : attributes) {
    if (!value.empty()) out += fmt::format(" {}=\"{}\"", name, xml_text(value));
  }
  return Markup::trusted(fmt::format("{}>{}</{}>\n", out, content.html(), tag));
}

Markup element(std::string_view tag, std::string_view text, Attributes attributes) {
  return element(tag, words(text), attributes);
}

Markup fact(std::string_view name, const Markup& value) {
  return element("dt", name) + element("dd", value);
}

Markup fact(std::string_view name, std::string_view value) {
  return fact(name, words(value));
}

Markup headed_table(std::span<const std::string_view> columns, const Markup& rows, std::string_view classes) {
  Markup head;
  for (const auto name : columns)
    head += name.empty() ? element("td", "") : element("th", name, {{"scope", "col"}});
  return element("table", element("thead", element("tr", head)) + element("tbody", rows),
                 {{"class", classes}});
}

Markup section(std::string_view id, std::string_view heading, const Markup& content,
               std::string_view classes) {
  const std::string heading_id = fmt::format("{}-heading", id);
  return element("section", element("h2", heading, {{"id", heading_id}}) + content,
                 {{"id", id}, {"class", classes}, {"aria-labelledby", heading_id}});
}

}  // namespace scrapetrace::report
