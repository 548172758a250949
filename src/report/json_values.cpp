#include "report/json_values.h"

#include <cmath>

#include "report/words.h"

namespace scrapetrace::report {

Json number(double value, int digits) {
  if (!std::isfinite(value)) return nullptr;
  const double unit = std::pow(10.0, digits);
  return std::round(value * unit) / unit + 0.0;  // + 0.0 turns -0 into 0
}

Json mm(double value) {
  return number(value, 3);
}

Json probability(double value) {
  return number(value, 4);
}

Json text(const std::string& value) {
  return valid_utf8(value);
}

Json texts(const std::vector<std::string>& values) {
  Json out = Json::array();
  for (const auto& value : values) out.push_back(text(value));
  return out;
}

Json interval(const Interval& span) {
  return Json::array({mm(span.from_mm), mm(span.to_mm)});
}

Json intervals(const std::vector<Interval>& spans) {
  Json out = Json::array();
  for (const Interval& span : spans) out.push_back(interval(span));
  return out;
}

Json place(const std::string& head, Side side, const std::string& surface) {
  return {{"head", text(head)}, {"side", to_string(side)}, {"surface", text(surface)}};
}

Json issues(const ScanReport& scan) {
  Json out = Json::array();
  for (const ScanIssue issue : scan.issues) out.push_back(to_string(issue));
  return out;
}

Json inputs(const Origin& origin) {
  Json out = Json::array();
  for (const InputFile& file : origin.files) {
    out.push_back({{"role", file.role},
                   {"file", text(file.name)},
                   {"sha256", file.sha256.empty() ? Json(nullptr) : Json(file.sha256)}});
  }
  return out;
}

Json jet_change(const JetChange& found) {
  return {{"head", text(found.head)},
          {"ink", text(found.ink)},
          {"jet", found.jet},
          {"dead", found.dead},
          {"state", to_string(found.state)},
          {"probability", probability(found.probability)},
          {"loss", probability(found.loss)},
          {"x_sheet_mm", mm(found.x_sheet_mm)},
          {"after", found.after},
          {"from_cleaned_mm", found.from_cleaned_mm ? mm(*found.from_cleaned_mm) : Json(nullptr)}};
}

Json quality(const ScanReport& scan) {
  return {{"file", text(scan.file)},
          {"verdict", to_string(scan.verdict)},
          {"analysed", scan.analysed()},
          {"reasons", texts(scan.reasons)},
          {"issues", issues(scan)},
          {"notes", texts(scan.notes)},
          {"width_px", scan.width_px},
          {"height_px", scan.height_px},
          {"finest_streak_mm", mm(scan.finest_streak_mm)}};
}

}  // namespace scrapetrace::report
