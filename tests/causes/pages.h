#pragma once
// Pages as the diagnosis takes them: printed and scanned in memory, placed where they truly lie.

#include "causes/found_causes.h"
#include "geometry/contact.h"
#include "geometry/zones.h"
#include "support/raster_of.h"

namespace scrapetrace::testing {

inline profile::PreparedScan prepared_scan(const Layout& layout, const Chart& chart, const Causes& causes,
                                           const PrintOptions& print, const ScanOptions& scan) {
  profile::PreparedScan out;
  const auto raster = raster_of(layout, chart, causes, print, scan);
  const auto place = true_placement(chart, print, scan);
  out.blur_px = place.blur_px;
  out.x_sigma_mm = 0.01;
  out.strips = profile::extract_strips(raster, place, layout, {}, {});
  out.views = profile::make_ink_views(out.strips, chart, layout, raster.grey, {});
  return out;
}

// The bench machine whose second carriage's ink lies `gap_mm` further right than the first one's.
inline Layout standing_off(double gap_mm) {
  Layout layout = bench_machine();
  layout.carriages[1].offset_mm = gap_mm;
  return layout;
}

// Its one seam.
inline geometry::SeamEnds seam_of(const Layout& layout) {
  return geometry::stand_offs(layout, geometry::ColumnMap(layout)).at(0);
}

inline streak::Track every_strip(const profile::PreparedScan& scan) {
  streak::Track track;
  for (std::size_t s = 0; s < scan.strips.strips.size(); ++s) track.strips.push_back(s);
  return track;
}

inline Causes one_scrape(double x_mm, double width_mm, double loss) {
  Residue residue;
  residue.carriage = 0;
  residue.x_mm = x_mm;
  residue.width_mm = width_mm;
  residue.loss = loss;
  Causes causes;
  causes.residues = {residue};
  return causes;
}

// What one carriage's contact changes, from the first to the last column.
inline Interval region_of(const geometry::Machine& machine, const Residue& r) {
  const auto touches = geometry::count_touches(machine.layout, machine.columns,
                                               {r.carriage, r.downstream, r.x_mm, r.width_mm});
  int first = touches.first + static_cast<int>(touches.n.size());
  int last = touches.first;
  for (int c = touches.first; c < touches.first + static_cast<int>(touches.n.size()); ++c) {
    if (touches.at(c) == 0) continue;
    first = std::min(first, c);
    last = std::max(last, c);
  }
  return {first * machine.layout.px_mm(), (last + 1) * machine.layout.px_mm()};
}

}  // namespace scrapetrace::testing
