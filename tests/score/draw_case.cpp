#include <algorithm>
#include <cmath>

#include "geometry/frames.h"
#include "score/case.h"
#include "score/draw.h"
#include "score/draw_others.h"
#include "score/faint_loss.h"
#include "score/priors.h"

namespace scrapetrace::score {

namespace {

constexpr double kShortPart = 0.35;  // of a patch's length, on short sheets
constexpr int kMostDraws = 10000;    // of a residue that lies on the print

CaseKind draw_kind(const std::vector<CaseKind>& kinds, Draw& draw) {
  std::vector<double> weights;
  for (std::size_t k = 0; k < kCaseKindCount; ++k) {
    const bool asked =
        kinds.empty() || std::find(kinds.begin(), kinds.end(), static_cast<CaseKind>(k)) != kinds.end();
    weights.push_back(asked ? kind_weights()[k] : 0);
  }
  return static_cast<CaseKind>(draw.weighted(weights));
}

bool has_residue(CaseKind kind) {
  return kind != CaseKind::clean && kind != CaseKind::dead_jet;
}

void draw_residue(Draw& draw, Case& out) {
  const Layout& layout = out.machine->layout;
  const auto zones = geometry::target_zones(layout);
  std::vector<double> weights;
  for (const auto& zone : zones) weights.push_back(zone.prior_density * (zone.to_mm - zone.from_mm));
  const Interval printed = printed_drum(layout, out.chart);
  Residue residue;
  for (int k = 0; k < kMostDraws; ++k) {
    const std::size_t target = draw.weighted(weights);
    const auto& where = zones[target];
    residue.carriage = layout.heads[where.head].carriage;
    residue.width_mm = draw.log_between(kNarrowest_mm, kWidest_mm);
    residue.x_mm = draw.between(where.from_mm, where.to_mm) - draw.unit() * residue.width_mm;
    residue.downstream = draw.chance(0.5);
    residue.head = layout.heads[where.head].name;
    residue.side = layout.zones[where.zone].side;
    residue.surface = layout.zones[where.zone].surface;
    out.truth = static_cast<int>(target);
    if (may_be_drawn(out.kind, touched_drum(layout, residue), printed)) break;
  }
  // No draw was cut: an ordinary residue then.
  if (out.kind == CaseKind::cut && !may_be_drawn(out.kind, touched_drum(layout, residue), printed))
    out.kind = CaseKind::residue;
  const LossRange range = out.kind == CaseKind::low_loss ? kLowLoss : kOrdinaryLoss;
  residue.loss = out.kind == CaseKind::evidence ? draw.log_between(kEvidenceLoss.from, kEvidenceLoss.to)
                                                : draw.between(range.from, range.to);
  out.causes.residues.push_back(residue);
}

PrintOptions draw_print(std::uint64_t machine_seed, double jet_variation, Draw& draw) {
  PrintOptions print;
  print.machine_seed = machine_seed;
  print.jet_variation = jet_variation;
  print.mottle = draw.between(0.003, 0.015);
  print.grain = draw.between(0.01, 0.05);
  print.shift_x_mm = draw.between(-1, 1);
  print.shift_y_mm = draw.between(-1, 1);
  print.stretch_x = 1 + draw.between(-0.002, 0.002);
  print.stretch_y = 1 + draw.between(-0.002, 0.002);
  return print;
}

ScanOptions draw_scan(double dpi, Draw& draw) {
  ScanOptions scan;
  scan.dpi = dpi;
  scan.scan_seed = draw.bits();
  scan.skew_deg = draw.between(-1, 1);
  scan.blur_px = draw.between(0.6, 1.1);
  scan.noise = draw.between(0.8, 2.5);
  scan.turn_deg = draw.chance(0.25) ? 90 * static_cast<int>(1 + draw.below(3)) : 0;
  scan.threads = 1;
  return scan;
}

// The scan of a sheet, and its file.
void lay_on_scanner(double dpi, Draw& draw, Sheet& sheet) {
  sheet.scan = draw_scan(dpi, draw);
  sheet.jpeg_quality = draw.chance(0.25) ? static_cast<int>(88 + draw.below(10)) : 0;
}

void draw_sheets(const ScoreOptions& options, Draw& draw, Case& out) {
  const std::uint64_t machine_seed = draw.bits();
  const double jet_variation = draw.between(0.01, 0.03);
  const double dpi = options.dpi[draw.below(options.dpi.size())];
  const auto new_sheet = [&] {
    Sheet sheet;
    sheet.print = draw_print(machine_seed, jet_variation, draw);
    lay_on_scanner(dpi, draw, sheet);
    return sheet;
  };
  out.sheets.push_back(new_sheet());
  if (out.kind != CaseKind::evidence) return;
  for (int k = 1; k < options.sheets; ++k) out.sheets.push_back(new_sheet());
  out.again = out.sheets.front();
  lay_on_scanner(dpi, draw, *out.again);
  out.again->print.sheet_seed = out.sheets.front().scan.scan_seed;
  out.before = new_sheet();
}

// Before the residue: the scanner's lines, and each of the machine's faults or not.
void draw_before(Draw& draw, Case& out) {
  const auto some_of = [&](const auto& all) {
    auto some = all;
    some.clear();
    for (const auto& one : all) {
      if (draw.chance(0.5)) some.push_back(one);
    }
    return some;
  };
  out.causes_before.jets = some_of(out.causes.jets);
  out.causes_before.scratches = some_of(out.causes.scratches);
  out.causes_before.hazes = some_of(out.causes.hazes);
  out.causes_before.lines = out.causes.lines;
}

}  // namespace

Case draw_case(const std::vector<ScoreMachine>& machines, const ScoreOptions& options, int index) {
  Draw draw(options.seed, static_cast<std::uint64_t>(index));
  Case out;
  out.index = index;
  out.machine = &machines[static_cast<std::size_t>(index) % machines.size()];
  out.kind = draw_kind(options.kinds, draw);
  out.chart =
      draw.chance(options.full_height) ? out.machine->chart : shortened(out.machine->chart, kShortPart);
  draw_sheets(options, draw, out);
  if (has_residue(out.kind)) draw_residue(draw, out);
  draw_others(draw, out);
  if (out.kind == CaseKind::evidence) draw_before(draw, out);
  if (out.kind == CaseKind::faint) out.causes.residues.front().loss = faint_loss(out, draw);
  return out;
}

}  // namespace scrapetrace::score
