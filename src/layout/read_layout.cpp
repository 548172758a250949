#include <fmt/format.h>

#include <string>
#include <utility>

#include "layout/check_layout.h"
#include "layout/limits.h"
#include "layout/parse_toml.h"
#include "layout/schema.h"
#include "layout/table_reader.h"
#include "layout/unique_names.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace::layout {

namespace {

struct Reading {
  Layout layout;
  LayoutPlaces places;
  ProblemList problems;
};

void read_machine(TableReader& root, Reading& in) {
  Layout& out = in.layout;
  if (const auto* table = root.table("drum")) {
    TableReader drum(*table, "[drum]", in.problems);
    drum.number("width_mm", out.drum.width_mm, kDrumWidthMm);
    drum.number("circumference_mm", out.drum.circumference_mm, kCircumferenceMm);
    drum.finish();
  }
  if (const auto* table = root.table("raster")) {
    TableReader raster(*table, "[raster]", in.problems);
    raster.number("cross_process_dpi", out.raster.cross_process_dpi, kDpi);
    raster.number("process_dpi", out.raster.process_dpi, kDpi);
    raster.finish();
  }
  if (const auto* table = root.table("interleave")) {
    TableReader interleave(*table, "[interleave]", in.problems);
    const bool pitch = interleave.whole("jet_pitch_px", out.interleave.jet_pitch_px, kJetPitchPx);
    const bool shifts = interleave.whole_list("shift_px", out.interleave.shift_px, kShiftPx, kMostPasses);
    if (!pitch || !shifts) out.interleave.shift_px.clear();
    in.places.shift_px = interleave.place("shift_px");
    interleave.finish();
  }
  if (const auto* table = root.table("transfer")) {
    TableReader transfer(*table, "[transfer]", in.problems);
    transfer.truth("mirrored", out.transfer.mirrored);
    transfer.number("scale_cross", out.transfer.scale_cross, kScale);
    transfer.number("sheet_left_on_drum_mm", out.transfer.sheet_left_on_drum_mm, kPositionMm);
    transfer.finish();
  }
}

void read_tolerance(TableReader& root, Reading& in) {
  const auto* table = root.table("tolerance", Need::optional);
  if (table == nullptr) return;
  TableReader tolerance(*table, "[tolerance]", in.problems);
  tolerance.number("place_mm", in.layout.tolerance.place_mm, kPlaceToleranceMm, Need::optional);
  tolerance.number("scale", in.layout.tolerance.scale, kScaleTolerance, Need::optional);
  tolerance.finish();
}

void read_inks(TableReader& root, Reading& in) {
  for (const auto* table : root.tables("ink", kMostInks)) {
    TableReader reader(*table, fmt::format("ink {}", in.layout.inks.size() + 1), in.problems);
    Ink ink;
    reader.name("name", ink.name);
    const bool read = reader.numbers("solid_density_rgb", ink.solid_density_rgb, kDensity);
    if (read && ink.solid_density_rgb == Rgb{}) {
      reader.problem(
          "solid_density_rgb",
          fmt::format("solid_density_rgb of {} is all 0, so it could not be seen; measure a solid.",
                      reader.called()));
    }
    reader.finish();
    in.places.ink_names.push_back(reader.place("name"));
    in.layout.inks.push_back(std::move(ink));
  }
}

void read_carriages(TableReader& root, Reading& in) {
  for (const auto* table : root.tables("carriage", kMostCarriages)) {
    TableReader reader(*table, fmt::format("carriage {}", in.layout.carriages.size() + 1), in.problems);
    Carriage carriage;
    reader.name("name", carriage.name);
    // Not a number where there is none: compares equal to no other carriage's angle.
    carriage.angle_deg = std::numeric_limits<double>::quiet_NaN();
    reader.number("angle_deg", carriage.angle_deg, kAngleDeg);
    reader.number("offset_mm", carriage.offset_mm, kOffsetMm, Need::optional);
    const bool read = reader.whole("travel", carriage.travel, kAnyWhole, Need::optional);
    if (read && carriage.travel != 1 && carriage.travel != -1) {
      reader.problem("travel",
                     fmt::format("travel of {} is {}; allowed: 1 or -1.", reader.called(), carriage.travel));
    }
    reader.finish();
    in.places.carriage_names.push_back(reader.place("name"));
    in.places.carriage_angles.push_back(reader.place("angle_deg"));
    in.layout.carriages.push_back(std::move(carriage));
  }
}

void read_heads(TableReader& root, Reading& in) {
  for (const auto* table : root.tables("head", kMostHeads)) {
    TableReader reader(*table, fmt::format("head {}", in.layout.heads.size() + 1), in.problems);
    Head head;
    std::string carriage;
    reader.name("name", head.name);
    if (reader.name("carriage", carriage)) {
      const auto found =
          find_named("carriage", in.layout.carriages, carriage, reader.place("carriage"), in.problems);
      head.carriage = found.value_or(0);
    }
    reader.whole("first_jet_px", head.first_jet_px, kFirstJetPx);
    reader.whole("jets", head.jets, kJets);
    reader.truth("rotated", head.rotated, Need::optional);
    reader.name("group", head.group, Need::optional);
    reader.finish();
    in.places.head_names.push_back(reader.place("name"));
    in.places.head_first_jets.push_back(reader.place("first_jet_px"));
    in.layout.heads.push_back(std::move(head));
  }
}

void read_zones(TableReader& root, Reading& in) {
  for (const auto* table : root.tables("zone", kMostZones)) {
    TableReader reader(*table, fmt::format("zone {}", in.layout.zones.size() + 1), in.problems);
    Zone zone;
    reader.name("surface", zone.surface);
    std::string side;
    const bool sided = reader.word("side", side, {"left", "right"});
    zone.side = side == "right" ? Side::right : Side::left;
    const bool from = reader.number("from_mm", zone.from_mm, kOutwardMm);
    const bool to = reader.number("to_mm", zone.to_mm, kOutwardMm);
    if (from && to && zone.from_mm >= zone.to_mm) {
      reader.problem("to_mm", fmt::format("to_mm of {} is {}; it must be above from_mm, {}. Both are outward "
                                          "distances from the outermost jet.",
                                          reader.called(), zone.to_mm, zone.from_mm));
    }
    // A prior that could not be read was reported; it must not also count as 0.
    zone.prior = 1;
    reader.number("prior", zone.prior, kPrior);
    reader.number("effort_min", zone.effort_min, kEffortMin, Need::optional);
    if (reader.number("reach_min", zone.reach_min, kReachMin, Need::optional) &&
        zone.reach_min > zone.effort_min) {
      reader.problem("reach_min",
                     fmt::format("reach_min of {} is {}; it is a part of effort_min, {}, and may "
                                 "not be above it.",
                                 reader.called(), zone.reach_min, zone.effort_min));
    }
    reader.finish();
    if (!sided) continue;
    in.places.zones.push_back(reader.place());
    in.layout.zones.push_back(std::move(zone));
  }
}

}  // namespace

Result<Layout> read_layout(std::string_view toml, std::string_view file) {
  Reading in{{}, {}, ProblemList(file)};
  const toml::table tree = parse_toml(toml, in.problems);
  TableReader root(tree, "the layout", in.problems);
  if (!check_schema(root, "scrapetrace.layout/1")) return in.problems.take();
  read_machine(root, in);
  read_tolerance(root, in);
  read_carriages(root, in);
  read_heads(root, in);
  const bool all_read = in.problems.empty();
  const bool complete =
      !in.layout.interleave.shift_px.empty() && check_interleave(in.layout, in.places, in.problems);
  if (all_read && complete) check_coverage(in.layout, in.places, in.problems);
  root.name("name", in.layout.name);
  read_inks(root, in);
  read_zones(root, in);
  root.finish();
  check_parts(in.layout, in.places, in.problems);
  if (!in.problems.empty()) return in.problems.take();
  return std::move(in.layout);
}

}  // namespace scrapetrace::layout
