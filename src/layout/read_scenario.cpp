#include "layout/read_scenario.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "layout/limits.h"
#include "layout/parse_toml.h"
#include "layout/read_causes.h"
#include "layout/schema.h"
#include "layout/table_reader.h"

namespace scrapetrace::layout {

namespace {

// The ranges are those that simulate_scan() takes; here a value beyond them gets its place in the file.
constexpr auto kOptional = Need::optional;
constexpr Range kSpread{0, 0.3};
constexpr Range kStretch{0.9, 1.1};
constexpr Range kSheetShiftMm{-50, 50};
constexpr WholeRange kSeed{0, 9007199254740991};  // every program that reads the file holds these exactly

PrintOptions read_print(TableReader& root, ProblemList& problems) {
  PrintOptions out;
  const auto* table = root.table("print", kOptional);
  if (table == nullptr) return out;
  TableReader print(*table, "[print]", problems);
  print.number("jet_variation", out.jet_variation, kSpread, kOptional);
  print.whole("machine_seed", out.machine_seed, kSeed, kOptional);
  print.number("mottle", out.mottle, kSpread, kOptional);
  print.number("mottle_mm", out.mottle_mm, {0.5, 1000}, kOptional);
  print.number("grain", out.grain, kSpread, kOptional);
  print.number("screen_lpi", out.screen_lpi, {0, 400}, kOptional);
  print.number("screen_deg", out.screen_deg, {-360, 360}, kOptional);
  std::uint64_t sheet_seed = 0;
  if (print.whole("sheet_seed", sheet_seed, kSeed, kOptional) && print.has("sheet_seed"))
    out.sheet_seed = sheet_seed;
  print.number("paper_white", out.paper_white, kFraction, kOptional);
  print.number("stretch_x", out.stretch_x, kStretch, kOptional);
  print.number("stretch_y", out.stretch_y, kStretch, kOptional);
  print.number("shift_x_mm", out.shift_x_mm, kSheetShiftMm, kOptional);
  print.number("shift_y_mm", out.shift_y_mm, kSheetShiftMm, kOptional);
  print.finish();
  return out;
}

// A whole number out of a few.
void read_choice(TableReader& reader, std::string_view key, int& out, const std::vector<int>& allowed) {
  if (!reader.whole(key, out, kAnyWhole, kOptional)) return;
  if (std::find(allowed.begin(), allowed.end(), out) != allowed.end()) return;
  reader.problem(
      key, fmt::format("{} of {} is {}; allowed: {}.", key, reader.called(), out, fmt::join(allowed, ", ")));
}

ScanOptions read_scan(TableReader& root, ProblemList& problems) {
  ScanOptions out;
  const auto* table = root.table("scan", kOptional);
  if (table == nullptr) return out;
  TableReader scan(*table, "[scan]", problems);
  scan.number("dpi", out.dpi, {25, 4800}, kOptional);
  scan.number("blur_px", out.blur_px, {0, 20}, kOptional);
  scan.number("noise", out.noise, {0, 64}, kOptional);
  scan.number("skew_deg", out.skew_deg, {-15, 15}, kOptional);
  read_choice(scan, "turn_deg", out.turn_deg, {0, 90, 180, 270});
  scan.truth("face_mirrored", out.face_mirrored, kOptional);
  scan.number("margin_mm", out.margin_mm, {-1000, 100}, kOptional);
  scan.number("bed", out.bed, {0, 1}, kOptional);
  scan.truth("grey", out.grey, kOptional);
  read_choice(scan, "bits", out.bits, {8, 16});
  scan.whole("scan_seed", out.scan_seed, kSeed, kOptional);
  scan.whole("threads", out.threads, {0, 1024}, kOptional);
  scan.finish();
  return out;
}

std::optional<CameraOptions> read_camera(TableReader& root, ProblemList& problems) {
  const auto* table = root.table("camera", kOptional);
  if (table == nullptr) return std::nullopt;
  CameraOptions out;
  TableReader camera(*table, "[camera]", problems);
  camera.whole("width_px", out.width_px, {100, 12000}, kOptional);
  camera.whole("height_px", out.height_px, {100, 12000}, kOptional);
  camera.number("tilt_deg", out.tilt_deg, {0, 60}, kOptional);
  camera.number("tilt_towards_deg", out.tilt_towards_deg, kAngleDeg, kOptional);
  camera.number("roll_deg", out.roll_deg, kAngleDeg, kOptional);
  camera.number("view_deg", out.view_deg, {10, 110}, kOptional);
  camera.number("fill", out.fill, {0.2, 3}, kOptional);
  camera.number("k1", out.k1, {-0.2, 0.2}, kOptional);
  camera.number("k2", out.k2, {-0.05, 0.05}, kOptional);
  camera.number("fall_off", out.fall_off, {0, 0.9}, kOptional);
  camera.number("light_from_deg", out.light_from_deg, kAngleDeg, kOptional);
  camera.number("table", out.table, {0, 1}, kOptional);
  camera.number("blur_px", out.blur_px, {0, 20}, kOptional);
  camera.number("noise", out.noise, {0, 64}, kOptional);
  camera.finish();
  return out;
}

}  // namespace

Result<Scenario> read_scenario(std::string_view toml, std::string_view file, const Layout& layout) {
  ProblemList problems(file);
  const toml::table tree = parse_toml(toml, problems);
  TableReader root(tree, "the scenario", problems);
  if (!check_schema(root, "scrapetrace.scenario/1")) return problems.take();
  Scenario out;
  out.print = read_print(root, problems);
  out.scan = read_scan(root, problems);
  out.camera = read_camera(root, problems);
  out.causes = read_causes(root, layout, problems);
  root.finish();
  if (!problems.empty()) return problems.take();
  return out;
}

}  // namespace scrapetrace::layout
