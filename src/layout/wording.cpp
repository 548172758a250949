#include "layout/wording.h"

#include <fmt/format.h>

#include "base/wording.h"

namespace scrapetrace::layout {

std::string shown(const toml::node& value) {
  if (const auto* text = value.as_string()) return in_quotes(text->get());
  if (const auto* whole = value.as_integer()) return fmt::format("{}", whole->get());
  if (const auto* number = value.as_floating_point()) {
    const std::string text = fmt::format("{}", number->get());
    return text.find_first_not_of("-0123456789") == std::string::npos ? text + ".0" : text;
  }
  if (const auto* truth = value.as_boolean()) return truth->get() ? "true" : "false";
  if (const auto* list = value.as_array()) {
    return list->size() == 1 ? "a list of 1 value" : fmt::format("a list of {} values", list->size());
  }
  return value.is_table() ? "a table" : "a date or time";
}

}  // namespace scrapetrace::layout
