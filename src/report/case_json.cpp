#include "report/case_json.h"

#include "base/wording.h"
#include "report/base64.h"
#include "report/json_values.h"
#include "report/read_json.h"

namespace scrapetrace::report {

namespace {

std::string string_at(const Json& json, const char* key) {
  const auto found = json.find(key);
  return found != json.end() && found->is_string() ? found->get<std::string>() : std::string();
}

const Json& object_at(const Json& json, const char* key) {
  static const Json kNothing = Json::object();
  const auto found = json.find(key);
  return found != json.end() && found->is_object() ? *found : kNothing;
}

// Of the file that a report calls its layout.
std::string layout_hash_in(const Json& json) {
  const auto found = json.find("inputs");
  if (found == json.end() || !found->is_array()) return {};
  for (const Json& entry : *found) {
    if (entry.is_object() && string_at(entry, "role") == "layout") return string_at(entry, "sha256");
  }
  return {};
}

std::vector<Cleaned> cleaned_in(const Json& json) {
  std::vector<Cleaned> out;
  const auto found = json.find("cleaned");
  if (found == json.end() || !found->is_array()) return out;
  for (const Json& entry : *found) {
    if (!entry.is_object()) continue;
    out.push_back({string_at(entry, "head"), string_at(entry, "side") == "right" ? Side::right : Side::left,
                   string_at(entry, "surface")});
  }
  return out;
}

}  // namespace

Result<ReportFacts> facts_of(const std::string& json, const std::string& file, const std::string& schema) {
  const auto read = read_json(json, file);
  if (!read) return read.problems();
  const Json& tree = *read;
  if (!tree.is_object()) return Problem{file, 0, 0, "is not JSON; give the file that --json wrote"};
  if (const auto met = string_at(tree, "schema"); met != schema) {
    return Problem{file, 0, 0,
                   "has the schema " + in_quotes(met) + "; " + in_quotes(schema) + " is wanted here"};
  }
  ReportFacts facts;
  facts.layout = string_at(tree, "layout");
  facts.layout_sha256 = layout_hash_in(tree);
  facts.tool_version = string_at(tree, "tool_version");
  facts.cleaned = cleaned_in(tree);
  for (const char* part : {"answer", "next"}) {
    if (const auto sentence = string_at(object_at(tree, part), "sentence"); !sentence.empty())
      facts.summary = sentence;
  }
  if (facts.summary.empty()) facts.summary = string_at(tree, "sentence");
  facts.outcome = string_at(object_at(tree, "next"), "step");
  if (facts.outcome.empty()) facts.outcome = string_at(tree, "verdict");
  return facts;
}

std::string scan_body(const std::string& file, const std::string& sha256) {
  return Json{{"file", text(file)}, {"sha256", sha256}}.dump();
}

std::string cleaned_body(const Cleaned& place) {
  return Json{{"head", text(place.head)}, {"side", to_string(place.side)}, {"surface", text(place.surface)}}
      .dump();
}

std::string note_body(const std::string& note) {
  return Json{{"note", text(note)}}.dump();
}

std::string record_json(std::int64_t number, const std::vector<std::pair<std::string, std::string>>& fields,
                        const std::string& body, const std::string& picture) {
  Json out{{"number", number}};
  for (const auto& [name, value] : fields) out[name] = text(value);
  const auto tree = read_json(body, "");
  out["body"] = tree ? *tree : text(body);
  out["picture_png_base64"] = picture.empty() ? Json(nullptr) : Json(base64(picture));
  return out.dump();
}

}  // namespace scrapetrace::report
