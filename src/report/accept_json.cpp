#include "report/accept_report.h"
#include "report/json_values.h"

namespace scrapetrace::report {

std::string accept_json(const AcceptStory& story, const Origin& origin) {
  const AcceptStory in_mm{story.layout, story.findings, story.limits,
                          story.result, LengthUnit::mm, story.jets};
  Json out{{"schema", "scrapetrace.accept/1"},
           {"tool_version", origin.tool_version},
           {"inputs", inputs(origin)},
           {"layout", text(story.layout.name)},
           {"limits_name", text(story.limits.name)},
           {"guard", story.limits.guard},
           {"verdict", to_string(story.result.verdict)},
           {"sentence", accept_sentence(in_mm)},
           {"limits", Json::array()},
           {"quality", Json::array()}};
  for (const auto& limit : story.result.limits) {
    out["limits"].push_back({{"limit", to_string(limit.kind)},
                             {"verdict", to_string(limit.verdict)},
                             {"allowed", number(limit.limit, 5)},
                             {"measured", number(limit.measured, 5)},
                             {"sigma", number(limit.sigma, 5)},
                             {"reason", limit_reason(in_mm, limit)},
                             {"streaks", limit.streaks},
                             {"places", texts(limit.places)},
                             {"scans", texts(limit.scans)}});
  }
  if (story.jets != nullptr) {
    out["jets"] = Json::array();
    for (const auto& jet : *story.jets) out["jets"].push_back(jet_change(jet));
  }
  for (const auto& scan : story.findings.scans) out["quality"].push_back(quality(scan));
  return out.dump(2) + '\n';
}

}  // namespace scrapetrace::report
