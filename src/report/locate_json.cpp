#include <algorithm>

#include "geometry/frames.h"
#include "report/answer.h"
#include "report/json_values.h"
#include "report/words.h"
#include "scrapetrace/report.h"

namespace scrapetrace::report {

namespace {

Json rivals(const std::vector<Rival>& list) {
  Json out = Json::array();
  for (const Rival& rival : list) {
    Json entry = place(rival.head, rival.side, rival.surface);
    entry["probability"] = probability(rival.probability);
    entry["tell_apart"] = text(rival.tell_apart);
    out.push_back(std::move(entry));
  }
  return out;
}

Json target(const Target& found, std::size_t rank) {
  Json out{{"rank", rank}};
  out.update(place(found.head, found.side, found.surface));
  out["probability"] = probability(found.probability);
  out["x_drum_mm"] = mm(found.x_drum_mm);
  out["x_drum_sigma_mm"] = mm(found.x_sigma_mm);
  out["x_sheet_mm"] = mm(found.x_sheet_mm);
  out["outward_mm"] = mm(found.outward_mm);
  out["over_jets"] = found.over_jets;
  out["touch_from_mm"] = found.touch_from_mm ? mm(*found.touch_from_mm) : Json(nullptr);
  out["effort_min"] = number(found.effort_min, 2);
  out["streaks"] = found.streaks;
  out["rivals"] = rivals(found.rivals);
  return out;
}

Json residue(const ResidueFit& fit) {
  Json by_carriage = Json::object();
  for (const auto& [carriage, chance] : fit.by_carriage)
    by_carriage[valid_utf8(carriage)] = probability(chance);
  return {{"carriage", text(fit.carriage)},
          {"contact", fit.downstream ? "downstream" : "upstream"},
          {"probability_downstream", probability(fit.probability_downstream)},
          {"carriages", std::move(by_carriage)},
          {"x_drum_mm", mm(fit.x_drum_mm)},
          {"x_drum_sigma_mm", mm(fit.x_sigma_mm)},
          {"width_mm", mm(fit.width_mm)},
          {"width_sigma_mm", mm(fit.width_sigma_mm)},
          {"loss", probability(fit.loss)},
          {"loss_sigma", probability(fit.loss_sigma)},
          {"fit", fit.poor ? "poor" : "good"},
          {"width_resolved", fit.width_resolved},
          {"width_times_loss_mm", mm(fit.width_times_loss_mm)},
          {"width_times_loss_sigma_mm", mm(fit.width_times_loss_sigma_mm)}};
}

Json jet(const JetFit& fit) {
  return {
      {"head", text(fit.head)}, {"ink", text(fit.ink)}, {"jet", fit.jet}, {"loss", probability(fit.loss)}};
}

Json causes(const Streak& streak) {
  Json out = Json::object();
  for (std::size_t i = 0; i < kCauseCount; ++i) {
    out[to_string(static_cast<Cause>(i))] = probability(streak.causes[i]);
  }
  return out;
}

Json extent(const Streak& streak) {
  return {{"x_sheet_mm", mm(streak.x_sheet_mm)},
          {"sigma_mm", mm(streak.sigma_mm)},
          {"x_drum_mm", mm(streak.x_drum_mm)},
          {"width_mm", mm(streak.width_mm)},
          {"y_sheet_mm", intervals(streak.y_sheet_mm)}};
}

Json streak(const Streak& found) {
  Json out{{"id", found.id}};
  out.update(extent(found));
  out["loss"] = probability(found.loss);
  out["width_resolved"] = found.width_resolved;
  out["width_times_loss_mm"] = mm(found.width_times_loss_mm);
  out["z"] = number(found.z, 2);
  out["contrast"] = number(found.contrast, 3);
  out["visible"] = found.visible;
  out["inks"] = texts(found.inks);
  out["scans"] = found.scans;
  out["was_before"] = found.was_before;
  out["beyond_layout"] = found.beyond_layout;
  out["causes"] = causes(found);
  out["residue"] = found.residue ? residue(*found.residue) : Json(nullptr);
  out["jet"] = found.jet ? jet(*found.jet) : Json(nullptr);
  return out;
}

Json seam(const SeamFit& fit) {
  return {
      {"left_head", text(fit.left_head)}, {"right_head", text(fit.right_head)}, {"gap_mm", mm(fit.gap_mm)}};
}

Json other(const Streak& found) {
  const Cause cause = found.likeliest();
  Json out{{"cause", to_string(cause)}, {"streak", found.id}};
  out["probability"] = probability(found.causes[static_cast<std::size_t>(cause)]);
  if (cause == Cause::dead_jet && found.jet) out.update(jet(*found.jet));
  if (cause == Cause::seam_mismatch && found.seam) out.update(seam(*found.seam));
  if (cause == Cause::scanner_line)
    out["kept_scan_column"] = found.kept_scan_column ? Json(*found.kept_scan_column) : Json(nullptr);
  out.update(extent(found));
  return out;
}

Json unchecked(const Unchecked& gap, const geometry::SheetFromDrum& sheet_from_drum) {
  const double a = sheet_from_drum.sheet_x(gap.x_drum_mm.from_mm);
  const double b = sheet_from_drum.sheet_x(gap.x_drum_mm.to_mm);
  Json targets = Json::array();
  for (const auto& hidden : gap.targets) {
    Json entry = place(hidden.head, hidden.side, hidden.surface);
    entry["fraction"] = probability(hidden.fraction);
    targets.push_back(std::move(entry));
  }
  return {{"x_drum_mm", interval(gap.x_drum_mm)},
          {"x_sheet_mm", interval({std::min(a, b), std::max(a, b)})},
          {"reason", text(gap.reason)},
          {"targets", std::move(targets)}};
}

Json ways_up(const Registration& fit) {
  Json out = Json::array();
  for (const WayUp& way : fit.ways_up) {
    out.push_back({{"turn_deg", way.turn_deg},
                   {"face_mirrored", way.face_mirrored},
                   {"probability", number(way.probability, 4)}});
  }
  return out;
}

Json errors_across(const Registration& fit) {
  Json out = Json::array();
  for (const PlaceError& error : fit.errors_across)
    out.push_back({{"x_sheet_mm", mm(error.x_sheet_mm)}, {"sigma_mm", mm(error.sigma_mm)}});
  return out;
}

Json registration(const ScanReport& scan) {
  const Registration& fit = *scan.registration;
  return {{"file", text(scan.file)},
          {"datum", to_string(fit.datum)},
          {"predicted_error_mm", mm(fit.predicted_error_mm)},
          {"errors_across", errors_across(fit)},
          {"skew_deg", number(fit.skew_deg, 4)},
          {"turn_deg", fit.turn_deg},
          {"face_mirrored", fit.face_mirrored},
          {"scale_x", number(fit.scale_x, 6)},
          {"scale_y", number(fit.scale_y, 6)},
          {"dpi", number(fit.dpi, 3)},
          {"dpi_source", text(fit.dpi_source)},
          {"jets_moved_mm", fit.jets_moved_mm ? number(*fit.jets_moved_mm, 4) : Json(nullptr)},
          {"residual_mm", number(fit.residual_mm, 4)},
          {"marks", fit.marks},
          {"ways_up", ways_up(fit)}};
}

Json order(const Findings& findings) {
  Json steps = Json::array();
  for (const CleaningStep& step : findings.order) {
    Json ranks = Json::array();
    for (const std::size_t target : step.targets) ranks.push_back(target + 1);
    steps.push_back({{"targets", std::move(ranks)},
                     {"minutes", number(step.minutes, 2)},
                     {"done_probability", probability(step.done_probability)}});
  }
  return {{"steps", std::move(steps)}, {"expected_min", number(findings.expected_cleaning_min, 2)}};
}

Json answer_of(const Findings& findings) {
  const Answer found = answer(findings);
  return {{"kind", to_string(found.kind)}, {"sentence", found.sentence}};
}

}  // namespace

std::string locate_json(const Layout& layout, const Findings& findings, const Origin& origin) {
  Json out{{"schema", "scrapetrace.locate/1"},
           {"tool_version", origin.tool_version},
           {"inputs", inputs(origin)},
           {"layout", text(layout.name)},
           {"false_alarm_rate", findings.false_alarm_rate},
           {"faint_too", findings.faint_too},
           {"answer", answer_of(findings)}};
  for (const char* list : {"targets", "traces", "streaks", "other", "unchecked", "registration", "quality"}) {
    out[list] = Json::array();
  }
  for (const Target& found : findings.targets)
    out["targets"].push_back(target(found, out["targets"].size() + 1));
  for (const Target& found : findings.traces)
    out["traces"].push_back(target(found, out["traces"].size() + 1));
  out["order"] = order(findings);
  out["checked"] = probability(findings.checked);
  for (const Streak& found : findings.streaks) {
    out["streaks"].push_back(streak(found));
    if (is_other(found)) out["other"].push_back(other(found));
  }
  const geometry::SheetFromDrum sheet_from_drum(layout);
  for (const Unchecked& gap : findings.unchecked) out["unchecked"].push_back(unchecked(gap, sheet_from_drum));
  for (const ScanReport& scan : findings.scans) {
    if (scan.registration) out["registration"].push_back(registration(scan));
    out["quality"].push_back(quality(scan));
  }
  out["before"] = Json::array();
  for (const ScanReport& scan : findings.before) out["before"].push_back(quality(scan));
  return out.dump(2) + '\n';
}

}  // namespace scrapetrace::report
