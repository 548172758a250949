#include "report/fit_report.h"
#include "report/json_values.h"

namespace scrapetrace::report {

namespace {

Json value_of(const FittedKey& key, double value) {
  if (key.key.ends_with("mirrored")) return value > 0.5;
  return number(value, 6);
}

Json key_of(const FittedKey& key) {
  const bool interval = key.fitted && key.low < key.high;
  return {{"key", text(key.key)},
          {"determined", key.fitted},
          {"value", value_of(key, key.after)},
          {"before", value_of(key, key.before)},
          {"low", interval ? number(key.low, 6) : Json(nullptr)},
          {"high", interval ? number(key.high, 6) : Json(nullptr)},
          {"note", text(key.note)}};
}

Json head_of(const FittedHead& head) {
  return {{"head", text(head.head)},
          {"moved_mm", mm(head.moved_mm)},
          {"low_mm", mm(head.low_mm)},
          {"high_mm", mm(head.high_mm)},
          {"columns", head.columns},
          {"columns_sure", head.columns_sure},
          {"left_over_mm", mm(head.left_over_mm)}};
}

Json place_of(const FittedPlace& place) {
  return {{"name", text(place.name)},
          {"residual_mm", mm(place.residual_mm)},
          {"sigma_mm", mm(place.sigma_mm)},
          {"used", place.used},
          {"checked", place.checked},
          {"against", place.against.empty() ? Json(nullptr) : text(place.against)}};
}

}  // namespace

std::string fit_json(const LayoutFit& fit, std::string_view tool_version) {
  Json out{
      {"schema", "scrapetrace.layout_fit/1"},
      {"tool_version", std::string(tool_version)},
      {"layout", text(fit.layout.name)},
      {"sentence", fit_sentence(fit)},
      {"reference_head", text(fit.reference)},
      {"mirrored",
       {{"probability", probability(fit.mirrored_probability)}, {"determined", fit.mirroring_determined}}},
      {"keys", Json::array()},
      {"never_determined", Json::array()},
      {"heads", Json::array()},
      {"places", Json::array()},
      {"noise",
       {{"factor", number(fit.noise, 4)},
        {"from_residuals", fit.noise_from_residuals},
        {"degrees_of_freedom", fit.degrees_of_freedom}}}};
  for (const auto& key : fit.keys) out["keys"].push_back(key_of(key));
  for (const auto name : keys_beyond_places()) out["never_determined"].push_back(std::string(name));
  for (const auto& head : fit.heads) out["heads"].push_back(head_of(head));
  for (const auto& place : fit.places) out["places"].push_back(place_of(place));
  return out.dump(2) + '\n';
}

}  // namespace scrapetrace::report
