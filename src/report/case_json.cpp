#include "report/case_json.h"

#include "base/wording.h"
#include "report/base64.h"
#include "report/json_values.h"
#include "report/read_json.h"
#include "report/verdict_json.h"

namespace scrapetrace::report {

namespace {

// The hash of the report's layout file.
std::string layout_hash_in(const Json& json) {
  for (const Json& entry : array_at(json, "inputs")) {
    if (string_at(entry, "role") == "layout") return string_at(entry, "sha256");
  }
  return {};
}

std::vector<InputFile> scans_in(const Json& json) {
  std::vector<InputFile> out;
  for (const Json& entry : array_at(json, "inputs")) {
    const auto role = string_at(entry, "role");
    if (role.starts_with("scan") || role.starts_with("before") || role.starts_with("after"))
      out.push_back({role, string_at(entry, "file"), string_at(entry, "sha256")});
  }
  return out;
}

std::vector<Cleaned> cleaned_in(const Json& json) {
  std::vector<Cleaned> out;
  for (const Json& entry : array_at(json, "cleaned")) {
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
  facts.scans = scans_in(tree);
  for (const char* part : {"answer", "next"}) {
    if (const auto sentence = string_at(object_at(tree, part), "sentence"); !sentence.empty())
      facts.summary = sentence;
  }
  if (facts.summary.empty()) facts.summary = string_at(tree, "sentence");
  facts.outcome = string_at(object_at(tree, "next"), "step");
  if (facts.outcome.empty()) facts.outcome = string_at(tree, "verdict");
  if (schema == "scrapetrace.accept/1") {
    if (const auto why = wrong_with_verdict(tree); !why.empty())
      return Problem{file, 0, 0, why + "; give the file that accept --json wrote, unchanged"};
  }
  return facts;
}

std::string scan_body(const std::string& file, const std::string& sha256) {
  return Json{{"file", text(file)}, {"sha256", sha256}}.dump();
}

std::string scan_hash(const std::string& body) {
  const auto tree = read_json(body, "");
  return tree ? string_at(*tree, "sha256") : "";
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
