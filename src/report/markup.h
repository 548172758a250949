#pragma once
// HTML built from typed parts: text becomes markup only by being escaped.

#include <initializer_list>
#include <span>
#include <string>
#include <string_view>
#include <utility>

namespace scrapetrace::report {

class Markup {
 public:
  Markup() = default;
  // Markup from our own code, such as a drawing.
  static Markup trusted(std::string html) {
    Markup out;
    out.html_ = std::move(html);
    return out;
  }
  Markup& operator+=(const Markup& other) {
    html_ += other.html_;
    return *this;
  }
  friend Markup operator+(Markup a, const Markup& b) { return a += b; }
  [[nodiscard]] const std::string& html() const { return html_; }
  [[nodiscard]] bool empty() const { return html_.empty(); }

 private:
  std::string html_;
};

// (name, value); the value is escaped.
using Attributes = std::initializer_list<std::pair<std::string_view, std::string_view>>;

// Escaped text; what HTML cannot hold appears as \xNN.
Markup words(std::string_view text);

// <tag attributes>content</tag>
Markup element(std::string_view tag, const Markup& content, Attributes attributes = {});
Markup element(std::string_view tag, std::string_view text, Attributes attributes = {});

// <dt> and <dd> of a list.
Markup fact(std::string_view name, std::string_view value);
Markup fact(std::string_view name, const Markup& value);

// A table whose head repeats on every printed page; an unnamed column has an empty head.
Markup headed_table(std::span<const std::string_view> columns, const Markup& rows,
                    std::string_view classes = "");

// A section with a level-2 heading; `id` serves links.
Markup section(std::string_view id, std::string_view heading, const Markup& content,
               std::string_view classes = "");

}  // namespace scrapetrace::report
