#include "score/draw_others.h"

#include "geometry/column_map.h"

namespace scrapetrace::score {

namespace {

constexpr double kWholeJets = 0.7;  // part of the bad jets that are dead, not weak

// A jet whose columns lie on the print, all of them.
void draw_jet(bool dead, Draw& draw, Case& out) {
  const Layout& layout = out.machine->layout;
  const Interval printed = printed_drum(layout, out.chart);
  const geometry::ColumnMap columns(layout);
  WeakJet jet;
  std::vector<int> at;
  const auto all_printed = [&] {
    if (static_cast<int>(at.size()) < layout.passes()) return false;
    for (const int c : at) {
      const double x_mm = (c + 0.5) * layout.px_mm();
      if (x_mm < printed.from_mm + 1 || x_mm > printed.to_mm - 1) return false;
    }
    return true;
  };
  do {
    jet.head = draw.below(layout.heads.size());
    jet.jet = static_cast<int>(draw.below(static_cast<std::size_t>(layout.heads[jet.head].jets)));
    at = geometry::columns_of_jet(layout, columns, jet.head, jet.jet);
  } while (!all_printed());
  jet.ink = draw.below(layout.inks.size());
  jet.loss = dead || draw.chance(kWholeJets) ? 1.0 : draw.between(0.3, 0.9);
  out.causes.jets.push_back(jet);
}

void draw_other(Draw& draw, Case& out) {
  const Interval printed = printed_drum(out.machine->layout, out.chart);
  constexpr double kMargin_mm = 8;
  const double from_mm = printed.from_mm + kMargin_mm;
  const double to_mm = printed.to_mm - kMargin_mm;
  switch (draw.below(4)) {
    case 0:
      return draw_jet(false, draw, out);
    case 1: {
      const double x_mm = draw.between(from_mm, to_mm);
      const double width_mm = draw.between(0.15, 1.5);
      out.causes.scratches.push_back({x_mm, width_mm, draw.between(0.2, 0.9), {}});
      return;
    }
    case 2: {
      const double x_mm = draw.between(from_mm, to_mm);
      const double width_mm = draw.between(1.5, 12);
      out.causes.hazes.push_back({x_mm, width_mm, draw.between(0.02, 0.12), {}});
      return;
    }
    default: {
      const double column_fraction = draw.between(0.1, 0.9);
      const double width_px = 1.0 + static_cast<double>(draw.below(2));
      const double gain = draw.chance(0.7) ? draw.between(0.6, 0.95) : draw.between(1.03, 1.12);
      out.causes.lines.push_back({column_fraction, width_px, gain});
    }
  }
}

// A carriage that its adjusters have left beside its place.
void draw_shift(Draw& draw, Case& out) {
  const std::size_t carriages = out.machine->layout.carriages.size();
  if (carriages < 2) return;
  const double offset_mm = draw.between(0.08, 0.4);
  out.causes.shifts.push_back({draw.below(carriages), draw.chance(0.5) ? offset_mm : -offset_mm});
}

}  // namespace

void draw_others(Draw& draw, Case& out) {
  if (out.kind == CaseKind::dead_jet) return draw_jet(true, draw, out);
  std::size_t count = draw.below(3);
  if (out.kind == CaseKind::clean) count = 1 + draw.below(2);
  if (out.kind == CaseKind::faint) count = 0;
  for (std::size_t k = 0; k < count; ++k) draw_other(draw, out);
  constexpr double kOff = 0.15;  // of the pages without residue
  if (out.kind == CaseKind::clean && draw.chance(kOff)) draw_shift(draw, out);
}

}  // namespace scrapetrace::score
