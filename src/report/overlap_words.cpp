#include "report/overlap_words.h"

#include <fmt/format.h>

#include "report/words.h"

namespace scrapetrace::report {

namespace {

const char* contact_words(bool downstream) {
  return downstream ? "down" : "up";
}

}  // namespace

std::string short_place(const Layout& layout, std::size_t head, std::size_t zone) {
  const Zone& z = layout.zones[zone];
  return fmt::format("{} {} {}", printable(layout.heads[head].name), to_string(z.side), printable(z.surface));
}

std::string tell_apart_words(const Layout& layout, const ZoneOverlap& overlap) {
  if (overlap.same_carriage) return "no: same carriage";
  if (!overlap.same_travel) return "yes: opposite travel";
  if (overlap.alike.empty()) return "yes: order of contact";
  std::string out = "not when";
  for (std::size_t i = 0; i < overlap.alike.size(); ++i) {
    out += fmt::format("{} {} {}, {} {}", i > 0 ? " or" : "", printable(layout.heads[overlap.head_a].name),
                       contact_words(overlap.alike[i].first), printable(layout.heads[overlap.head_b].name),
                       contact_words(overlap.alike[i].second));
  }
  return out;
}

}  // namespace scrapetrace::report
