#include "cli/place_flag.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/wording.h"

namespace scrapetrace::cli {

std::vector<std::string> split_place(const std::string& flag) {
  std::vector<std::string> parts(1);
  for (const char c : flag) {
    if (c == ':') {
      parts.emplace_back();
    } else {
      parts.back() += c;
    }
  }
  return parts;
}

const Head* find_head(const Layout& layout, const std::string& name) {
  const auto found = std::find_if(layout.heads.begin(), layout.heads.end(),
                                  [&](const Head& head) { return head.name == name; });
  return found == layout.heads.end() ? nullptr : &*found;
}

std::string unknown_head(const Layout& layout, const std::string& name) {
  std::vector<std::string> known;
  for (const Head& head : layout.heads) known.push_back(head.name);
  return fmt::format("no head is called {}; the layout has {}", in_quotes(name), any_of(known));
}

const Zone* find_zone(const Layout& layout, const std::string& side, const std::string& surface) {
  for (const Zone& zone : layout.zones) {
    if (to_string(zone.side) == side && zone.surface == surface) return &zone;
  }
  return nullptr;
}

std::string unknown_zone(const Layout& layout, const std::string& side, const std::string& surface) {
  std::vector<std::string> known;
  for (const Zone& zone : layout.zones)
    known.push_back(fmt::format("{}:{}", to_string(zone.side), zone.surface));
  return fmt::format("no zone is called {}; the layout has {}", in_quotes(side + ":" + surface),
                     any_of(known));
}

Result<Cleaned> cleaned_from_flag(const std::string& option, const std::string& flag, const Layout& layout) {
  const auto wrong = [&](const std::string& what) {
    return Problem{"", 0, 0, fmt::format("--{} {}: {}", option, flag, what)};
  };
  const auto parts = split_place(flag);
  if (parts.size() < 2 || parts.size() > 3) return wrong("the form is HEAD:SIDE[:SURFACE]");
  if (find_head(layout, parts[0]) == nullptr) return wrong(unknown_head(layout, parts[0]));
  if (parts[1] != "left" && parts[1] != "right")
    return wrong(fmt::format("a side is left or right, as stencilled, and not {}", in_quotes(parts[1])));
  Cleaned place{parts[0], parts[1] == "left" ? Side::left : Side::right, parts.size() == 3 ? parts[2] : ""};
  if (parts.size() == 3 && find_zone(layout, parts[1], parts[2]) == nullptr)
    return wrong(unknown_zone(layout, parts[1], parts[2]));
  return place;
}

}  // namespace scrapetrace::cli
