#include "testpage/ruler.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"

namespace scrapetrace::testpage {

namespace {

constexpr double kNumber_mm = 1.9;  // font
const Rgb kBar = {0.87, 0.87, 0.87};

std::string letter(Side side) {
  return side == Side::left ? "L" : "R";
}

// The head's stencilled side names, left and right on the drum.
std::array<std::string, 2> sides_on_drum(const Head& head) {
  const bool left_is_left = geometry::drum_side(head, Side::left) == Side::left;
  return {letter(left_is_left ? Side::left : Side::right), letter(left_is_left ? Side::right : Side::left)};
}

}  // namespace

void add_ticks(Drawing& page, const Window& window, double y_mm, double length_mm) {
  const double down = length_mm < 0 ? -1 : 1;
  for (auto mm = static_cast<int>(std::ceil(window.from_mm)); mm <= window.to_mm; ++mm) {
    const double x = window.page_x(mm);
    const double length = length_mm * (mm % 10 == 0 ? 1.0 : mm % 5 == 0 ? 0.75 : 0.5);
    page.items.emplace_back(Stroke{{x, y_mm}, {x, y_mm + length}, mm % 10 == 0 ? 0.2 : 0.12, kBlack, false});
    if (mm % 10 != 0) continue;
    const double base = y_mm + length + (down > 0 ? 0.85 * kNumber_mm : -0.35);
    page.items.emplace_back(
        Words{{x, base}, std::to_string(mm), kNumber_mm, Anchor::middle, 0, false, kBlack});
  }
}

std::vector<HeadSpan> spans_on_drum(const Layout& layout, const LayoutDescription& machine) {
  std::vector<HeadSpan> out;
  for (const auto& h : machine.heads) {
    const Head& head = layout.heads[h.head];
    const auto sides = sides_on_drum(head);
    out.push_back({head.name, h.drum_mm.from_mm, h.drum_mm.to_mm, sides[0], sides[1]});
  }
  return out;
}

std::vector<HeadSpan> spans_on_sheet(const Layout& layout, const LayoutDescription& machine) {
  std::vector<HeadSpan> out;
  for (const auto& h : machine.heads) {
    const Head& head = layout.heads[h.head];
    auto sides = sides_on_drum(head);
    if (layout.transfer.mirrored) std::swap(sides[0], sides[1]);
    out.push_back({head.name, h.sheet_mm.from_mm, h.sheet_mm.to_mm, sides[0], sides[1]});
  }
  std::sort(out.begin(), out.end(),
            [](const HeadSpan& a, const HeadSpan& b) { return a.from_mm < b.from_mm; });
  return out;
}

void add_heads(Drawing& page, const Window& window, const std::vector<HeadSpan>& heads, double top_mm,
               double height_mm) {
  const double bottom = top_mm + height_mm;
  const double base = top_mm + height_mm / 2 + 1.05;
  for (const HeadSpan& head : heads) {
    const double from = std::max(head.from_mm, window.from_mm);
    const double to = std::min(head.to_mm, window.to_mm);
    if (to - from < 1) continue;
    const double left = window.page_x(from);
    const double right = window.page_x(to);
    page.items.emplace_back(box({left, right}, {top_mm, bottom}, kBar));
    const double room = right - left;
    const bool whole = from == head.from_mm && to == head.to_mm;
    if (whole || room > 22)
      page.items.emplace_back(Words{{(left + right) / 2, base},
                                    "head " + head.head,
                                    3,
                                    Anchor::middle,
                                    std::max(4.0, room - 9),
                                    true,
                                    kBlack});
    if (room > 14 && from == head.from_mm)
      page.items.emplace_back(Words{{left + 1, base}, head.from_side, 2.6, Anchor::left, 0, false, kBlack});
    if (room > 14 && to == head.to_mm)
      page.items.emplace_back(Words{{right - 1, base}, head.to_side, 2.6, Anchor::right, 0, false, kBlack});
  }
  for (const HeadSpan& head : heads) {
    for (const double end : {head.from_mm, head.to_mm}) {
      if (!window.shows(end)) continue;
      const double x = window.page_x(end);
      page.items.emplace_back(Stroke{{x, top_mm - 0.8}, {x, bottom + 0.3}, 0.3, kBlack, false});
    }
  }
}

}  // namespace scrapetrace::testpage
