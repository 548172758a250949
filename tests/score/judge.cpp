#include "score/judge.h"

#include <algorithm>
#include <cmath>

#include "geometry/column_map.h"
#include "geometry/contact.h"
#include "geometry/frames.h"
#include "geometry/zones.h"
#include "press/scan_from_sheet.h"

namespace scrapetrace::score {

namespace {

constexpr double kSlack_mm = 0.3;  // between a streak as found and as drawn

Interval touched_columns(const Case& drawn) {
  const Layout& layout = drawn.machine->layout;
  const geometry::ColumnMap columns(layout);
  const Residue& r = *drawn.residue();
  const auto touches =
      geometry::count_touches(layout, columns, {r.carriage, r.downstream, r.x_mm, r.width_mm});
  Interval out{1e9, -1e9};
  for (std::size_t i = 0; i < touches.n.size(); ++i) {
    if (touches.n[i] == 0) continue;
    const double x_mm = (touches.first + static_cast<int>(i) + 0.5) * layout.px_mm();
    out = {std::min(out.from_mm, x_mm), std::max(out.to_mm, x_mm)};
  }
  return out.to_mm < out.from_mm ? touched_drum(layout, r) : out;
}

Interval jet_columns(const Layout& layout, const WeakJet& jet) {
  const auto columns = geometry::columns_of_jet(layout, geometry::ColumnMap(layout), jet.head, jet.jet);
  const auto [first, last] = std::minmax_element(columns.begin(), columns.end());
  return {*first * layout.px_mm(), (*last + 1) * layout.px_mm()};
}

// A scanner line crosses a skewed sheet at a slant: all that it passes over.
Interval line_on_drum(const Case& drawn, const Sheet& sheet, const ScannerLine& line) {
  const auto g = press::scan_geometry(drawn.chart, sheet.print, sheet.scan);
  const auto sheet_from_raw = g.raw_from_sheet.inverse();
  const geometry::SheetFromDrum sheet_from_drum(drawn.machine->layout);
  const double u = line.column_fraction * g.raw_width_px;
  const double a = sheet_from_drum.drum_x(sheet_from_raw({u, 0}).x);
  const double b = sheet_from_drum.drum_x(sheet_from_raw({u, double(g.raw_height_px)}).x);
  return {std::min(a, b), std::max(a, b)};
}

// Where a shifted carriage's ink meets another's, on the print.
std::vector<Interval> opened_seams(const Case& drawn, const CarriageShift& shift) {
  constexpr double kBeside_mm = 0.2;
  const Layout& layout = drawn.machine->layout;
  const Interval printed = printed_drum(layout, drawn.chart);
  const double reach_mm = std::abs(shift.offset_mm) + kBeside_mm;
  std::vector<Interval> out;
  const geometry::ColumnMap columns(layout);
  for (const auto& seam : columns.seams()) {
    const bool left = layout.heads[seam.left_head].carriage == shift.carriage;
    const bool right = layout.heads[seam.right_head].carriage == shift.carriage;
    const double x_mm = (seam.seam + 1) * layout.px_mm();
    if (left != right && x_mm > printed.from_mm + reach_mm && x_mm < printed.to_mm - reach_mm)
      out.push_back({x_mm - reach_mm, x_mm + reach_mm});
  }
  return out;
}

bool meet(const Interval& a, const Interval& b) {
  return a.from_mm < b.to_mm + kSlack_mm && b.from_mm < a.to_mm + kSlack_mm;
}

Interval extent(const Streak& streak) {
  return {streak.x_drum_mm - 0.5 * streak.width_mm, streak.x_drum_mm + 0.5 * streak.width_mm};
}

// Of the streaks over a true one: one that names its cause, else the nearest.
const Streak* found_for(const TrueStreak& truth, const Findings& findings) {
  const Streak* best = nullptr;
  double best_rank = 1e300;
  const double middle = 0.5 * (truth.drum_mm.from_mm + truth.drum_mm.to_mm);
  for (const Streak& s : findings.streaks) {
    if (!meet(extent(s), truth.drum_mm)) continue;
    const double rank = std::abs(s.x_drum_mm - middle) + (s.likeliest() == truth.cause ? 0 : 1e6);
    if (rank < best_rank) best = &s, best_rank = rank;
  }
  return best;
}

std::optional<PositionRecord> position_of(const Case& drawn, const Streak& streak, const Findings& findings) {
  const Residue& truth = *drawn.residue();
  if (!streak.residue || streak.likeliest() != Cause::residue) return std::nullopt;
  const ResidueFit& fit = *streak.residue;
  // Both sides of the jets count: without the carriage's own ink nothing tells them apart.
  if (fit.carriage != drawn.machine->layout.carriages[truth.carriage].name) return std::nullopt;
  PositionRecord out;
  out.error_mm = fit.x_drum_mm - (truth.x_mm + 0.5 * truth.width_mm);
  out.claimed_mm = fit.x_sigma_mm;
  const auto& registration = findings.scans.front().registration;
  if (registration) out.registration_mm = registration->predicted_error_mm;
  return out;
}

JetRecord judge_jet(const Case& drawn, const Streak* streak) {
  JetRecord out;
  if (streak == nullptr || !streak->jet || streak->likeliest() != Cause::dead_jet) return out;
  const Layout& layout = drawn.machine->layout;
  const WeakJet& truth = drawn.causes.jets.front();
  out.head = streak->jet->head == layout.heads[truth.head].name;
  out.ink = streak->jet->ink == layout.inks[truth.ink].name;
  out.jet = streak->jet->jet == truth.jet;
  return out;
}

}  // namespace

std::vector<double> beliefs_of(const Layout& layout, const std::vector<Target>& targets) {
  const auto zones = geometry::target_zones(layout);
  std::vector<double> out(zones.size(), 0.0);
  for (const Target& target : targets) {
    for (std::size_t z = 0; z < zones.size(); ++z) {
      const Zone& zone = layout.zones[zones[z].zone];
      if (layout.heads[zones[z].head].name == target.head && zone.side == target.side &&
          zone.surface == target.surface)
        out[z] = target.probability;
    }
  }
  return out;
}

std::vector<TrueStreak> true_streaks(const Case& drawn) {
  const Layout& layout = drawn.machine->layout;
  std::vector<TrueStreak> out;
  if (drawn.residue() != nullptr) out.push_back({Cause::residue, touched_columns(drawn)});
  for (const auto& jet : drawn.causes.jets) out.push_back({Cause::dead_jet, jet_columns(layout, jet)});
  for (const auto& s : drawn.causes.scratches)
    out.push_back({Cause::drum_scratch, {s.x_mm, s.x_mm + s.width_mm}});
  for (const auto& h : drawn.causes.hazes)
    out.push_back({Cause::blade_haze, {h.x_mm - 0.5 * h.width_mm, h.x_mm + 0.5 * h.width_mm}});
  for (const auto& line : drawn.causes.lines)
    out.push_back({Cause::scanner_line, line_on_drum(drawn, drawn.sheets.front(), line)});
  for (const auto& shift : drawn.causes.shifts) {
    for (const Interval& seam : opened_seams(drawn, shift)) out.push_back({Cause::seam_mismatch, seam});
  }
  return out;
}

void judge_streaks(const Case& drawn, const Findings& findings, CaseRecord& record) {
  const auto truths = true_streaks(drawn);
  for (const TrueStreak& truth : truths) {
    const Streak* found = found_for(truth, findings);
    CauseRecord& cause = record.causes.emplace_back();
    cause.truth = truth.cause;
    if (found != nullptr) cause.named = found->likeliest();
    if (truth.cause != Cause::residue) continue;
    record.detected = found != nullptr && found->likeliest() != Cause::scanner_line;
    if (found != nullptr) record.position = position_of(drawn, *found, findings);
  }
  for (const Streak& streak : findings.streaks) {
    const bool true_one = std::any_of(truths.begin(), truths.end(),
                                      [&](const TrueStreak& t) { return meet(extent(streak), t.drum_mm); });
    if (!true_one) record.false_streaks.push_back(streak.likeliest());
  }
  if (drawn.kind == CaseKind::dead_jet) record.jet = judge_jet(drawn, found_for(truths.front(), findings));
}

}  // namespace scrapetrace::score
