#include <fmt/format.h>

#include "score/case.h"

namespace scrapetrace::score {

namespace {

std::string of_residue(const Case& drawn) {
  const Residue& r = *drawn.residue();
  return fmt::format("; residue on head {} {} {} (carriage {}), {:.3f} mm, {:.3f} mm wide, loss {:.4f}, {}",
                     r.head, to_string(*r.side), r.surface, drawn.machine->layout.carriages[r.carriage].name,
                     r.x_mm, r.width_mm, r.loss, r.downstream ? "downstream" : "upstream");
}

std::string of_others(const Causes& causes, const Layout& layout) {
  std::string out;
  for (const auto& j : causes.jets) {
    out += fmt::format("; jet {} of head {} in {} loses {:.2f}", j.jet, layout.heads[j.head].name,
                       layout.inks[j.ink].name, j.loss);
  }
  for (const auto& s : causes.scratches)
    out += fmt::format("; scratch at {:.2f} mm, {:.2f} mm wide, loss {:.2f}", s.x_mm, s.width_mm, s.loss);
  for (const auto& h : causes.hazes)
    out += fmt::format("; haze at {:.2f} mm, {:.2f} mm wide, density {:.3f}", h.x_mm, h.width_mm, h.density);
  for (const auto& l : causes.lines) {
    out += fmt::format("; scanner line at {:.3f}, {:.0f} px, gain {:.2f}", l.column_fraction, l.width_px,
                       l.gain);
  }
  for (const auto& s : causes.shifts)
    out += fmt::format("; carriage {} off by {:.3f} mm", layout.carriages[s.carriage].name, s.offset_mm);
  return out;
}

}  // namespace

std::string describe(const Case& drawn) {
  const Sheet& sheet = drawn.sheets.front();
  std::string out = fmt::format("{} {}, {:.0f} mm long, {:.0f} dpi", drawn.machine->name,
                                to_string(drawn.kind), drawn.chart.sheet_mm[1], sheet.scan.dpi);
  if (drawn.sheets.size() > 1) out += fmt::format(", {} sheets", drawn.sheets.size());
  if (sheet.jpeg_quality > 0) out += fmt::format(", JPEG {}", sheet.jpeg_quality);
  out += fmt::format(", skew {:.2f}, turn {}, jets {:.1f} %, grain {:.1f} %, mottle {:.1f} %, noise {:.1f}",
                     sheet.scan.skew_deg, sheet.scan.turn_deg, 100 * sheet.print.jet_variation,
                     100 * sheet.print.grain, 100 * sheet.print.mottle, sheet.scan.noise);
  if (drawn.residue() != nullptr) out += of_residue(drawn);
  return out + of_others(drawn.causes, drawn.machine->layout);
}

}  // namespace scrapetrace::score
