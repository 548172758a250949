#include "press/row_printer.h"

#include <algorithm>

#include "press/screen.h"

namespace scrapetrace::press {

RowPrinter::RowPrinter(const Layout& layout, const PrintOptions& print, std::uint64_t sheet_seed,
                       const Strips& strips, const RowPlan& plan, double y_from_mm, double y_to_mm)
    : layout_(layout),
      print_(print),
      plan_(plan),
      seed_(sheet_seed),
      strips_(static_cast<std::size_t>(strips.count())),
      mottle_(layout.inks.size()),
      columns_(strips_, 0) {
  for (const auto& lay : strips.lays) columns_[static_cast<std::size_t>(lay.strip)] = lay.column;
  if (print.mottle <= 0) return;
  const auto& edges = strips.edges_mm;
  for (std::size_t i = 0; i < mottle_.size(); ++i) {
    mottle_[i].emplace(key(sheet_seed, Stream::mottle, i), print.mottle_mm, edges.front(), edges.back(),
                       y_from_mm, y_to_mm);
  }
  if (mottle_.empty()) return;
  for (std::size_t s = 0; s < strips_; ++s)
    places_.push_back(mottle_[0]->place((edges[s] + edges[s + 1]) / 2));
}

// Relative deviation of the ink per strip: grain and mottle.
void RowPrinter::deviate(const InkRow& ink, int r, Scratch& scratch) const {
  const auto first = static_cast<std::size_t>(ink.first);
  const auto last = static_cast<std::size_t>(ink.last);
  auto& deviation = scratch.deviation;
  deviation.assign(strips_, 0.0F);
  if (mottle_[ink.ink]) {
    mottle_[ink.ink]->take_row((r + 0.5) * 25.4 / layout_.raster.process_dpi, scratch.nodes);
    const auto size = static_cast<float>(print_.mottle);
    for (std::size_t s = first; s <= last; ++s) deviation[s] = size * Mottle::at(scratch.nodes, places_[s]);
  }
  if (print_.grain > 0) {
    const auto& normal = normal_table();
    const std::uint64_t row_key = key(seed_, Stream::grain, ink.ink, static_cast<std::uint64_t>(r));
    const auto size = static_cast<float>(print_.grain);
    for (std::size_t s = first; s <= last; ++s) deviation[s] += size * normal[mix(row_key + s) >> 52];
  }
}

void RowPrinter::lay(const InkRow& ink, int r, Scratch& scratch) const {
  deviate(ink, r, scratch);
  const auto& solid = layout_.inks[ink.ink].solid_density_rgb;
  const std::array<float, 3> density{static_cast<float>(solid[0]), static_cast<float>(solid[1]),
                                     static_cast<float>(solid[2])};
  const auto lay_where = [&](const auto& inked) {
    for (auto s = static_cast<std::size_t>(ink.first); s <= static_cast<std::size_t>(ink.last); ++s) {
      if (!inked(s)) continue;
      const float amount = ink.amount[s] * std::max(0.0F, 1 + scratch.deviation[s]);
      for (std::size_t c = 0; c < 3; ++c) scratch.density[c][s] += density[c] * amount;
    }
  };
  if (!ink.screened) {
    lay_where([](std::size_t) { return true; });
  } else if (print_.screen_lpi > 0) {
    const HalftoneScreen screen(layout_.raster, print_.screen_lpi, print_.screen_deg, ink.ink, r);
    lay_where([&](std::size_t s) { return screen.inked(columns_[s], ink.coverage[s]); });
  } else {
    const StochasticScreen screen(seed_, ink.ink, r);
    lay_where([&](std::size_t s) { return screen.inked(s, ink.coverage[s]); });
  }
}

void RowPrinter::print(int r, Scratch& scratch, Light* out) const {
  const RowInks& row = plan_.row(r);
  const auto white = static_cast<float>(print_.paper_white);
  if (row.inks.empty() && row.haze.empty()) {
    std::fill(out, out + strips_, Light{white, white, white, 0});
    return;
  }
  for (auto& density : scratch.density) {
    density.assign(strips_, 0.0F);
    std::copy(row.haze.begin(), row.haze.end(), density.begin());
  }
  for (const InkRow& ink : row.inks) lay(ink, r, scratch);
  for (std::size_t s = 0; s < strips_; ++s) {
    for (std::size_t c = 0; c < 3; ++c) out[s][c] = white * transmittance_(scratch.density[c][s]);
    out[s][3] = 0;
  }
}

}  // namespace scrapetrace::press
