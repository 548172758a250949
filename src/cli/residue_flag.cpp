#include "cli/residue_flag.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <vector>

#include "base/wording.h"
#include "geometry/frames.h"

namespace scrapetrace::cli {

namespace {

constexpr double kWidthMm = 1.5;
constexpr double kLoss = 0.15;
constexpr const char* kForm = "HEAD:SIDE:SURFACE[:OUTWARD_MM]";

std::vector<std::string> parts_of(const std::string& flag) {
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

Problem wrong(const std::string& flag, const std::string& what) {
  return {"", 0, 0, fmt::format("--residue {}: {}", flag, what)};
}

std::optional<double> number_of(const std::string& text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
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

}  // namespace

Result<Residue> residue_from_flag(const std::string& flag, const Layout& layout) {
  const auto parts = parts_of(flag);
  if (parts.size() < 3 || parts.size() > 4) return wrong(flag, fmt::format("the form is {}", kForm));
  const Head* head = find_head(layout, parts[0]);
  if (head == nullptr) return wrong(flag, unknown_head(layout, parts[0]));
  const Zone* zone = find_zone(layout, parts[1], parts[2]);
  if (zone == nullptr) return wrong(flag, unknown_zone(layout, parts[1], parts[2]));
  double outward_mm = (zone->from_mm + zone->to_mm) / 2;
  if (parts.size() == 4) {
    const auto given = number_of(parts[3]);
    if (!given) return wrong(flag, fmt::format("{} is no number of millimetres", in_quotes(parts[3])));
    outward_mm = *given;
  }
  Residue out;
  out.carriage = head->carriage;
  out.x_mm = geometry::drum_from_outward(layout, *head, zone->side, outward_mm) - kWidthMm / 2;
  out.width_mm = kWidthMm;
  out.loss = kLoss;
  out.head = head->name;
  out.side = zone->side;
  out.surface = zone->surface;
  return out;
}

}  // namespace scrapetrace::cli
