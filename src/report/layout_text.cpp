#include <fmt/format.h>

#include "report/overlap_words.h"
#include "report/table.h"
#include "report/words.h"
#include "report/wrap.h"
#include "scrapetrace/report.h"

namespace scrapetrace::report {

namespace {

std::string span(const Interval& interval, int digits = 1) {
  return decimals(interval.from_mm, digits) + " to " + decimals(interval.to_mm, digits);
}

std::string names_of(const Layout& layout, const std::vector<std::size_t>& heads) {
  std::string out;
  for (const std::size_t h : heads) out += (out.empty() ? "" : ", ") + printable(layout.heads[h].name);
  return out.empty() ? "none" : out;
}

std::string machine_section(const Layout& layout, const LayoutDescription& d) {
  std::string inks;
  for (const Ink& ink : layout.inks) inks += (inks.empty() ? "" : ", ") + printable(ink.name);
  std::string out = "Layout: " + printable(layout.name) + "\n";
  out += table(
      "ll", {{"Drum", fmt::format("{} mm wide, {} mm around, {} columns of {} mm ({} dpi)",
                                  decimals(layout.drum.width_mm, 1),
                                  decimals(layout.drum.circumference_mm, 1), d.drum_columns,
                                  decimals(layout.px_mm(), 4), decimals(layout.raster.cross_process_dpi, 0))},
             {"Printed", fmt::format("{} columns, {} to {}, each by one jet in one pass", d.printed_columns,
                                     d.first_column, d.last_column)},
             {"", fmt::format("drum X {} mm, sheet x {} mm{}", span(d.printed_drum_mm),
                              span(d.printed_sheet_mm), layout.transfer.mirrored ? " (mirrored)" : "")},
             {"Inks", inks},
             {"Known to", fmt::format("{} mm in place, {} % in scale (standard deviations)",
                                      decimals(layout.tolerance.place_mm, 3),
                                      decimals(100 * layout.tolerance.scale, 2))}});
  return out;
}

std::string carriages_section(const Layout& layout, const LayoutDescription& d) {
  std::vector<TableRow> rows{{"carriage", "angle", "travel mm", "offset mm", "heads"}};
  for (const auto& row : d.carriages) {
    const Carriage& carriage = layout.carriages[row.carriage];
    rows.push_back({printable(carriage.name), decimals(carriage.angle_deg, 1), span(row.travel_mm, 2),
                    decimals(carriage.offset_mm, 2), names_of(layout, row.heads)});
  }
  return "Carriages, in the order of events within one pass (travel to the right is positive)\n" +
         table("lrrrl", rows);
}

std::string interleave_section(const Layout& layout) {
  std::string shifts;
  for (const int s : layout.interleave.shift_px) shifts += (shifts.empty() ? "" : ", ") + std::to_string(s);
  return fmt::format("Interleave: {} passes, jets {} columns apart\n", layout.passes(),
                     layout.interleave.jet_pitch_px) +
         wrap("  displacement by pass, in columns along each carriage's travel: ", shifts);
}

std::string heads_section(const Layout& layout, const LayoutDescription& d) {
  std::vector<TableRow> rows{{"head", "carriage", "jets", "mounted", "columns", "drum X mm", "sheet x mm"}};
  for (const auto& row : d.heads) {
    const Head& head = layout.heads[row.head];
    rows.push_back({printable(head.name), printable(layout.carriages[head.carriage].name),
                    std::to_string(head.jets), head.rotated ? "turned round" : "as stencilled",
                    fmt::format("{} to {}", row.first_column, row.last_column), span(row.drum_mm),
                    span(row.sheet_mm)});
  }
  return "Heads, left to right on the drum\n" + table("llrlrrr", rows);
}

std::string seams_section(const Layout& layout, const LayoutDescription& d) {
  if (d.seams.empty()) return "Seams: none\n";
  std::vector<TableRow> rows{
      {"heads", "both cover columns", "last of the left head", "drum X mm", "sheet x mm"}};
  for (const auto& seam : d.seams) {
    rows.push_back({fmt::format("{} | {}", printable(layout.heads[seam.left_head].name),
                                printable(layout.heads[seam.right_head].name)),
                    fmt::format("{} to {}", seam.from_column, seam.to_column),
                    std::to_string(seam.seam_column), decimals(seam.drum_mm, 2), decimals(seam.sheet_mm, 2)});
  }
  return "Seams\n" + table("lrrrr", rows);
}

std::string zones_section(const Layout& layout) {
  double total = 0;
  for (const Zone& zone : layout.zones) total += zone.prior;
  std::vector<TableRow> rows{{"surface", "side", "outward mm", "prior", "effort min"}};
  for (const Zone& zone : layout.zones) {
    rows.push_back({printable(zone.surface), to_string(zone.side), span({zone.from_mm, zone.to_mm}),
                    percent(zone.prior / total), decimals(zone.effort_min, 0)});
  }
  return "Zones of every head (outward from its outermost jet; negative is among the jets)\n" +
         table("llrrr", rows);
}

std::string overlaps_section(const Layout& layout, const LayoutDescription& d) {
  if (d.overlaps.empty()) return "No two targets lie over the same part of the drum.\n";
  std::vector<TableRow> rows{{"drum X mm", "mm", "target", "and target", "told apart?"}};
  bool any_alike = false;
  for (const auto& overlap : d.overlaps) {
    any_alike = any_alike || (!overlap.same_carriage && !overlap.alike.empty());
    rows.push_back({span(overlap.drum_mm), decimals(overlap.drum_mm.to_mm - overlap.drum_mm.from_mm, 1),
                    short_place(layout, overlap.head_a, overlap.zone_a),
                    short_place(layout, overlap.head_b, overlap.zone_b), tell_apart_words(layout, overlap)});
  }
  std::string out =
      "Targets that lie over the same part of the drum, and whether a print can tell them apart\n" +
      table("rrlll", rows);
  if (any_alike) {
    out += wrap(
        "  ",
        "up, down: residue that touches just upstream or just downstream of its own carriage's jets. Where "
        "two are not told apart, expect both to be named.");
  }
  return out;
}

}  // namespace

std::string layout_text(const Layout& layout, const LayoutDescription& description) {
  std::string out = machine_section(layout, description);
  for (const std::string& section : {carriages_section(layout, description), interleave_section(layout),
                                     heads_section(layout, description), seams_section(layout, description),
                                     zones_section(layout), overlaps_section(layout, description)}) {
    out += "\n" + section;
  }
  return out;
}

}  // namespace scrapetrace::report
