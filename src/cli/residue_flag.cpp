#include "cli/residue_flag.h"

#include <fmt/format.h>

#include <charconv>
#include <optional>
#include <vector>

#include "base/wording.h"
#include "cli/place_flag.h"
#include "geometry/frames.h"

namespace scrapetrace::cli {

namespace {

constexpr double kWidthMm = 1.5;
constexpr double kLoss = 0.15;
constexpr const char* kForm = "HEAD:SIDE:SURFACE[:OUTWARD_MM]";

Problem wrong(const std::string& flag, const std::string& what) {
  return {"", 0, 0, fmt::format("--residue {}: {}", flag, what)};
}

std::optional<double> number_of(const std::string& text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

}  // namespace

Result<Residue> residue_from_flag(const std::string& flag, const Layout& layout) {
  const auto parts = split_place(flag);
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
