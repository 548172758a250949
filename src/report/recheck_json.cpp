#include "report/json_values.h"
#include "report/recheck_report.h"

namespace scrapetrace::report {

namespace {

Json reading(const Reading& value) {
  if (!value.seen) return nullptr;
  return {{"loss", number(value.loss, 5)}, {"sigma", number(value.sigma, 5)}};
}

Json id(const std::optional<std::size_t>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json change(const StreakChange& found) {
  const bool compared = found.loss_before.seen && found.loss_after.seen && found.change != Change::appeared;
  Json out{{"change", to_string(found.change)},
           {"before", id(found.before)},
           {"after", id(found.after)},
           {"cause", to_string(found.cause)},
           {"x_sheet_mm", mm(found.x_sheet_mm)},
           {"x_drum_mm", mm(found.x_drum_mm)},
           {"width_mm", mm(found.width_mm)},
           {"visible", found.visible},
           {"loss_before", reading(found.loss_before)},
           {"loss_after", reading(found.loss_after)}};
  out["fainter_by"] = compared ? probability(found.fainter_by) : Json(nullptr);
  out["fainter_sigma"] = compared ? probability(found.fainter_sigma) : Json(nullptr);
  out["at_most"] = compared ? number(found.at_most, 5) : Json(nullptr);
  out["moved_mm"] = found.before && found.after ? mm(found.moved_mm) : Json(nullptr);
  out["moved_sigma_mm"] = found.before && found.after ? mm(found.moved_sigma_mm) : Json(nullptr);
  return out;
}

Json target(const RecheckTarget& found) {
  Json out = place(found.head, found.side, found.surface);
  out["cleaned"] = found.cleaned;
  out["over_jets"] = found.over_jets;
  out["touch_from_mm"] = found.touch_from_mm ? mm(*found.touch_from_mm) : Json(nullptr);
  out["before"] = probability(found.before);
  out["was"] = probability(found.was);
  out["now"] = probability(found.now);
  return out;
}

Json scans(const Findings& findings) {
  Json out = Json::array();
  for (const auto& scan : findings.scans) out.push_back(quality(scan));
  return out;
}

Json cleaned(const std::vector<Cleaned>& places) {
  Json out = Json::array();
  for (const auto& where : places) {
    Json entry{{"head", text(where.head)}, {"side", to_string(where.side)}};
    entry["surface"] = where.surface.empty() ? Json(nullptr) : text(where.surface);
    out.push_back(std::move(entry));
  }
  return out;
}

}  // namespace

std::string recheck_json(const RecheckStory& story, const Origin& origin) {
  const auto& options = story.options;
  const RecheckStory in_mm{story.layout, story.evidence, story.cleaned, story.options, story.result};
  Json out{
      {"schema", "scrapetrace.recheck/1"},
      {"tool_version", origin.tool_version},
      {"inputs", inputs(origin)},
      {"layout", text(story.layout.name)},
      {"next", {{"step", to_string(story.result.next)}, {"sentence", recheck_sentence(in_mm)}}},
      {"cleaned", cleaned(story.cleaned)},
      {"changes", Json::array()},
      {"haze", {{"state", to_string(story.result.haze)}, {"density", number(story.result.haze_density, 4)}}},
      {"targets", Json::array()},
      {"jets", Json::array()},
      {"model",
       {{"success", options.success},
        {"partial", options.partial},
        {"gone_by_itself", options.gone_by_itself},
        {"less_by_itself", options.less_by_itself},
        {"gone_below", options.gone_below},
        {"moved_reach_mm", options.moved_reach_mm}}}};
  for (const auto& found : story.result.changes) out["changes"].push_back(change(found));
  for (const auto& found : story.result.targets) out["targets"].push_back(target(found));
  for (const auto& found : story.result.jets) out["jets"].push_back(jet_change(found));
  out["quality_before"] = scans(story.evidence.before);
  out["quality_after"] = scans(story.evidence.after);
  return out.dump(2) + '\n';
}

}  // namespace scrapetrace::report
