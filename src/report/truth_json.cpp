#include "report/truth_json.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/contact.h"
#include "geometry/frames.h"
#include "geometry/zones.h"
#include "press/scan_from_sheet.h"
#include "report/json_values.h"

namespace scrapetrace::report {

namespace {

Json exact(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}
Json interval(double from, double to) {
  return Json::array({exact(from), exact(to)});
}
Json y_span(const YSpan& y) {
  return interval(y.from_mm, y.to_mm);
}

Json sheet_interval(const Layout& layout, double drum_from_mm, double drum_to_mm) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  const double a = sheet_from_drum.sheet_x(drum_from_mm);
  const double b = sheet_from_drum.sheet_x(drum_to_mm);
  return interval(std::min(a, b), std::max(a, b));
}

// From the first to the last column that loses ink, outer edges; null: none.
Json streak_on_sheet(const Layout& layout, const geometry::ColumnMap& map,
                     const geometry::TouchCounts& touches) {
  std::optional<double> from;
  double to = 0;
  for (std::size_t i = 0; i < touches.n.size(); ++i) {
    if (touches.n[i] == 0) continue;
    const int column = touches.first + static_cast<int>(i);
    const auto head = static_cast<std::size_t>(map.owner(column).head);
    const double x = geometry::drum_x_of_column(layout, column, layout.heads[head].carriage);
    const double half = layout.px_mm() / 2;
    from = from ? std::min(*from, x - half) : x - half;
    to = std::max(to, x + half);
  }
  return from ? sheet_interval(layout, *from, to) : Json(nullptr);
}

Json place(const Layout& layout, const geometry::TargetZone& target, double middle_mm) {
  const Head& head = layout.heads[target.head];
  const Zone& zone = layout.zones[target.zone];
  return {{"head", text(head.name)},
          {"side", to_string(zone.side)},
          {"surface", text(zone.surface)},
          {"zone_drum_mm", interval(target.from_mm, target.to_mm)},
          {"outward_mm", geometry::outward_from_drum(layout, head, zone.side, middle_mm)}};
}

// Every target of the residue's carriage whose zone contains its middle.
Json targets_at(const Layout& layout, const Residue& residue, double middle_mm) {
  Json out = Json::array();
  for (const auto& target : geometry::target_zones(layout)) {
    if (layout.heads[target.head].carriage != residue.carriage) continue;
    if (middle_mm >= target.from_mm && middle_mm <= target.to_mm)
      out.push_back(place(layout, target, middle_mm));
  }
  return out;
}

Json intended(const Residue& residue) {
  if (residue.head.empty() || !residue.side) return nullptr;
  return {
      {"head", text(residue.head)}, {"side", to_string(*residue.side)}, {"surface", text(residue.surface)}};
}

Json residues(const Layout& layout, const geometry::ColumnMap& map, const Causes& causes) {
  Json out = Json::array();
  for (const Residue& r : causes.residues) {
    const auto touches = geometry::count_touches(layout, map, {r.carriage, r.downstream, r.x_mm, r.width_mm});
    const double middle_mm = r.x_mm + r.width_mm / 2;
    out.push_back({{"target", intended(r)},
                   {"carriage", text(layout.carriages[r.carriage].name)},
                   {"downstream", r.downstream},
                   {"x_drum_mm", interval(r.x_mm, r.x_mm + r.width_mm)},
                   {"middle_drum_mm", middle_mm},
                   {"width_mm", r.width_mm},
                   {"loss", r.loss},
                   {"y_sheet_mm", y_span(r.y)},
                   {"streak_x_sheet_mm", streak_on_sheet(layout, map, touches)},
                   {"targets_at_middle", targets_at(layout, r, middle_mm)}});
  }
  return out;
}

Json weak_jets(const Layout& layout, const geometry::ColumnMap& map, const Causes& causes) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  Json out = Json::array();
  for (const WeakJet& jet : causes.jets) {
    const Head& head = layout.heads[jet.head];
    std::vector<double> lines;
    for (const int column : geometry::columns_of_jet(layout, map, jet.head, jet.jet)) {
      lines.push_back(sheet_from_drum.sheet_x(geometry::drum_x_of_column(layout, column, head.carriage)));
    }
    std::sort(lines.begin(), lines.end());
    out.push_back({{"head", text(head.name)},
                   {"ink", text(layout.inks[jet.ink].name)},
                   {"jet", jet.jet},
                   {"loss", jet.loss},
                   {"lines_x_sheet_mm", lines}});
  }
  return out;
}

Json scratches(const Layout& layout, const Causes& causes) {
  Json out = Json::array();
  for (const DrumScratch& s : causes.scratches) {
    out.push_back({{"x_drum_mm", interval(s.x_mm, s.x_mm + s.width_mm)},
                   {"x_sheet_mm", sheet_interval(layout, s.x_mm, s.x_mm + s.width_mm)},
                   {"loss", s.loss},
                   {"y_sheet_mm", y_span(s.y)}});
  }
  return out;
}

Json hazes(const Layout& layout, const Causes& causes) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  Json out = Json::array();
  for (const BladeHaze& h : causes.hazes) {
    out.push_back({{"middle_drum_mm", h.x_mm},
                   {"middle_sheet_mm", sheet_from_drum.sheet_x(h.x_mm)},
                   {"width_mm", h.width_mm},
                   {"density", h.density},
                   {"y_sheet_mm", y_span(h.y)}});
  }
  return out;
}

Json lines(const Causes& causes) {
  Json out = Json::array();
  for (const ScannerLine& l : causes.lines) {
    out.push_back({{"column_fraction", l.column_fraction}, {"width_px", l.width_px}, {"gain", l.gain}});
  }
  return out;
}

Json shifts(const Layout& layout, const Causes& causes) {
  Json out = Json::array();
  for (const CarriageShift& s : causes.shifts)
    out.push_back({{"carriage", text(layout.carriages[s.carriage].name)}, {"offset_mm", s.offset_mm}});
  return out;
}

Json print_json(const PrintOptions& p) {
  return {{"jet_variation", p.jet_variation},
          {"machine_seed", p.machine_seed},
          {"mottle", p.mottle},
          {"mottle_mm", p.mottle_mm},
          {"grain", p.grain},
          {"screen_lpi", p.screen_lpi},
          {"screen_deg", p.screen_deg},
          {"sheet_seed", p.sheet_seed ? Json(*p.sheet_seed) : Json(nullptr)},
          {"paper_white", p.paper_white},
          {"stretch_x", p.stretch_x},
          {"stretch_y", p.stretch_y},
          {"shift_x_mm", p.shift_x_mm},
          {"shift_y_mm", p.shift_y_mm}};
}

Json scan_json(const ScanOptions& s) {
  return {{"dpi", s.dpi},
          {"blur_px", s.blur_px},
          {"noise", s.noise},
          {"skew_deg", s.skew_deg},
          {"turn_deg", s.turn_deg},
          {"face_mirrored", s.face_mirrored},
          {"margin_mm", s.margin_mm},
          {"bed", s.bed},
          {"grey", s.grey},
          {"bits", s.bits},
          {"scan_seed", s.scan_seed}};
}

Json camera_json(const CameraOptions& c) {
  return {{"tilt_deg", c.tilt_deg},
          {"tilt_towards_deg", c.tilt_towards_deg},
          {"roll_deg", c.roll_deg},
          {"view_deg", c.view_deg},
          {"fill", c.fill},
          {"k1", c.k1},
          {"k2", c.k2},
          {"fall_off", c.fall_off},
          {"light_from_deg", c.light_from_deg},
          {"table", c.table},
          {"blur_px", c.blur_px},
          {"noise", c.noise}};
}

Json image_json(const Chart& chart, const PrintOptions& print, const ScanOptions& scan,
                const SimulatedScan& simulated, bool scanned) {
  Json out{{"width_px", simulated.width_px},
           {"height_px", simulated.height_px},
           {"channels", simulated.channels},
           {"bits", simulated.bits},
           {"dpi", simulated.dpi}};
  if (!scanned) return out;
  const auto& map = press::scan_geometry(chart, print, scan).scan_from_sheet;
  out["scan_from_sheet"] =
      Json::array({Json::array({map.xx, map.xy, map.x0}), Json::array({map.yx, map.yy, map.y0})});
  return out;
}

}  // namespace

std::string truth_json(const Layout& layout, const Chart& chart, const Causes& causes,
                       const PrintOptions& print, const ScanOptions& scan, const SimulatedScan& simulated,
                       const Origin& origin, const CameraOptions* camera) {
  const geometry::ColumnMap map(layout);
  Json truth{{"schema", "scrapetrace.truth/1"},
             {"tool_version", origin.tool_version},
             {"inputs", inputs(origin)},
             {"layout", text(layout.name)},
             {"chart", text(chart.name)},
             {"sheet_mm", Json::array({chart.sheet_mm[0], chart.sheet_mm[1]})},
             {"image", image_json(chart, print, scan, simulated, camera == nullptr)},
             {"causes",
              {{"residue", residues(layout, map, causes)},
               {"dead_jet", weak_jets(layout, map, causes)},
               {"drum_scratch", scratches(layout, causes)},
               {"blade_haze", hazes(layout, causes)},
               {"scanner_line", lines(causes)},
               {"seam_mismatch", shifts(layout, causes)}}},
             {"print", print_json(print)},
             {"scan", scan_json(scan)}};
  if (camera != nullptr) truth["camera"] = camera_json(*camera);
  return truth.dump(2) + "\n";
}

}  // namespace scrapetrace::report
