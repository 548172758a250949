#include <algorithm>
#include <array>
#include <cmath>

#include "report/json_values.h"
#include "report/read_json.h"
#include "report/triage_report.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

constexpr const char* kSchema = "scrapetrace.triage/2";
constexpr const char* kPartSchema = "scrapetrace.triage-part/1";

Json target_of(const TriageCase& one) {
  if (!one.target) return nullptr;
  const TriageTarget& target = *one.target;
  return {{"head", text(target.head)},
          {"side", text(target.side)},
          {"surface", text(target.surface)},
          {"probability", probability(target.probability)},
          {"over_jets", target.over_jets},
          {"touch_from_mm", target.touch_from_mm ? mm(*target.touch_from_mm) : Json(nullptr)}};
}

Json streak_of(const TriageCase& one) {
  if (!one.worst) return nullptr;
  return {{"cause", text(one.worst->cause)},
          {"x_sheet_mm", mm(one.worst->x_sheet_mm)},
          {"width_mm", mm(one.worst->width_mm)},
          {"loss", probability(one.worst->loss)}};
}

Json word_or_null(const std::string& word) {
  return word.empty() ? Json(nullptr) : text(word);
}

Json scans_of(const TriageCase& one) {
  Json out = Json::array();
  for (const TriageScan& scan : one.scans) {
    out.push_back({{"file", text(scan.file)},
                   {"sha256", word_or_null(scan.sha256)},
                   {"analysed", scan.analysed},
                   {"verdict", text(scan.verdict)},
                   {"reasons", texts(scan.reasons)}});
  }
  return out;
}

template <class Entries>
Json pairs_of(const Entries& entries, const char* second, std::string Entries::value_type::*field) {
  Json out = Json::array();
  for (const auto& entry : entries) out.push_back({{"file", text(entry.file)}, {second, text(entry.*field)}});
  return out;
}

// Reads typed values from untrusted JSON; the first invalid one fails the whole.
class Taking {
 public:
  explicit Taking(const Json& tree) : tree_(tree) {}

  std::string word(const char* key) {
    const Json* value = at(key, &Json::is_string);
    return value == nullptr ? std::string() : value->get<std::string>();
  }
  std::string word_or_null(const char* key) {
    const auto found = tree_.find(key);
    return found != tree_.end() && found->is_null() ? std::string() : word(key);
  }
  std::string hash(const char* key) {
    std::string value = word(key);
    expect(value.size() == 64 && value.find_first_not_of("0123456789abcdef") == std::string::npos, key);
    return value;
  }
  std::string hash_or_null(const char* key) {
    const auto found = tree_.find(key);
    return found != tree_.end() && found->is_null() ? std::string() : hash(key);
  }
  bool truth(const char* key) {
    const Json* value = at(key, &Json::is_boolean);
    return value != nullptr && value->get<bool>();
  }
  double number(const char* key, double least, double most) {
    const Json* value = at(key, &Json::is_number);
    const double out = value == nullptr ? least : value->get<double>();
    expect(out >= least && out <= most, key);
    return out;
  }
  std::optional<double> number_or_null(const char* key, double least, double most) {
    const auto found = tree_.find(key);
    if (found != tree_.end() && found->is_null()) return std::nullopt;
    return number(key, least, most);
  }
  std::int64_t count(const char* key) {
    const Json* value = at(key, &Json::is_number_integer);
    const double out = value == nullptr ? 0 : value->get<double>();
    expect(out >= 0 && out <= 1e12, key);
    return wrong_.empty() ? value->get<std::int64_t>() : 0;
  }
  std::vector<std::string> words(const char* key) {
    std::vector<std::string> out;
    for (const Json& entry : list(key)) {
      expect(entry.is_string(), key);
      if (entry.is_string()) out.push_back(entry.get<std::string>());
    }
    return out;
  }
  // An object, or null.
  template <class Take>
  void object_or_null(const char* key, const Take& take) {
    const auto found = tree_.find(key);
    if (found == tree_.end() || !found->is_null()) object(key, take);
  }
  template <class Take>
  void object(const char* key, const Take& take) {
    if (const Json* value = at(key, &Json::is_object); value != nullptr) each(*value, key, take);
  }
  template <class Take>
  void objects(const char* key, const Take& take) {
    for (const Json& entry : list(key)) {
      expect(entry.is_object(), key);
      if (entry.is_object()) each(entry, key, take);
    }
  }
  void expect(bool right, const char* key) {
    if (!right && wrong_.empty()) wrong_ = key;
  }
  [[nodiscard]] const std::string& wrong() const { return wrong_; }

 private:
  const Json* at(const char* key, bool (Json::*is)() const noexcept) {
    const auto found = tree_.find(key);
    const bool right = found != tree_.end() && ((*found).*is)();
    expect(right, key);
    return right ? &*found : nullptr;
  }
  const Json& list(const char* key) {
    static const Json kNone = Json::array();
    const Json* value = at(key, &Json::is_array);
    return value == nullptr ? kNone : *value;
  }
  template <class Take>
  void each(const Json& value, const char* key, const Take& take) {
    Taking part(value);
    take(part);
    if (!part.wrong().empty() && wrong_.empty()) wrong_ = std::string(key) + '.' + part.wrong();
  }

  const Json& tree_;
  std::string wrong_;  // the first invalid key
};

TriageScan scan_from(Taking& take) {
  TriageScan scan{take.word("file"), take.hash_or_null("sha256"), take.truth("analysed"),
                  take.word("verdict"), take.words("reasons")};
  constexpr std::array kVerdicts{QualityVerdict::ok, QualityVerdict::limited, QualityVerdict::rescan};
  take.expect(std::any_of(kVerdicts.begin(), kVerdicts.end(),
                          [&](QualityVerdict known) { return scan.verdict == to_string(known); }),
              "verdict");
  return scan;
}

TriageTarget target_from(Taking& take) {
  TriageTarget target{take.word("head"),       take.word("side"),
                      take.word("surface"),    take.number("probability", 0, 1),
                      take.truth("over_jets"), take.number_or_null("touch_from_mm", -1e5, 1e5)};
  take.expect(target.side == to_string(Side::left) || target.side == to_string(Side::right), "side");
  return target;
}

TriageStreak streak_from(Taking& take) {
  constexpr double kMost_mm = 1e5;
  TriageStreak streak{take.word("cause"), take.number("x_sheet_mm", -kMost_mm, kMost_mm),
                      take.number("width_mm", 0, kMost_mm), take.number("loss", -1e3, 1)};
  bool known = false;
  for (std::size_t k = 0; k < kCauseCount; ++k)
    known = known || streak.cause == to_string(static_cast<Cause>(k));
  take.expect(known, "cause");
  return streak;
}

void take_answer(Taking& take, TriageCase& one) {
  take.object("answer", [&](Taking& part) {
    const std::string kind = part.word("kind");
    bool known = false;
    for (int k = 0; k < kTriageGroups; ++k) {
      if (kind != to_string(static_cast<TriageGroup>(k))) continue;
      one.group = static_cast<TriageGroup>(k);
      known = true;
    }
    part.expect(known, "kind");
    one.sentence = part.word("sentence");
  });
  take.expect(take.count("group") == static_cast<int>(one.group), "group");
  one.score = take.number("score", 0, 1e9);
  take.object_or_null("target", [&](Taking& part) { one.target = target_from(part); });
  take.object_or_null("worst_streak", [&](Taking& part) { one.worst = streak_from(part); });
  const bool names = one.group == TriageGroup::clean || one.group == TriageGroup::choose;
  take.expect(names == one.target.has_value(), "target");
}

Problem not_ours(const std::string& file, const std::string& wrong) {
  return {file, 0, 0,
          "holds a line whose '" + printable(wrong) +
              "' is not what a triage of this version writes; run its part again"};
}

}  // namespace

std::string triage_line(const TriageCase& one) {
  const Json out{{"schema", kSchema},
                 {"case", text(one.name)},
                 {"key", one.key},
                 {"tool_version", text(one.tool_version)},
                 {"layout_sha256", one.layout_sha256},
                 {"chart_sha256", word_or_null(one.chart_sha256)},
                 {"answer", {{"kind", to_string(one.group)}, {"sentence", text(one.sentence)}}},
                 {"group", static_cast<int>(one.group)},
                 {"score", number(one.score, 5)},
                 {"target", target_of(one)},
                 {"worst_streak", streak_of(one)},
                 {"streaks", one.streaks},
                 {"traces", one.traces},
                 {"unchecked", one.unchecked},
                 {"rescan", word_or_null(one.rescan)},
                 {"scans", scans_of(one)},
                 {"copies", pairs_of(one.copies, "same_as", &TriageCopy::same_as)},
                 {"left_out", pairs_of(one.left_out, "reason", &TriageLeftOut::reason)},
                 {"complete", one.complete},
                 {"settled", one.settled},
                 {"report", text(one.report)}};
  return out.dump();
}

Result<TriageCase> triage_case_of(std::string_view line, const std::string& file) {
  const auto tree = read_json(line, file);
  if (!tree) return tree.problems();
  if (!tree->is_object()) return not_ours(file, "schema");
  Taking take(*tree);
  take.expect(take.word("schema") == kSchema, "schema");
  TriageCase one;
  one.name = take.word("case");
  take.expect(!one.name.empty() && one.name.find('\0') == std::string::npos, "case");
  one.key = take.hash("key");
  one.tool_version = take.word("tool_version");
  one.layout_sha256 = take.hash("layout_sha256");
  one.chart_sha256 = take.hash_or_null("chart_sha256");
  take_answer(take, one);
  one.streaks = take.count("streaks");
  one.traces = take.count("traces");
  one.unchecked = take.count("unchecked");
  one.rescan = take.word_or_null("rescan");
  take.objects("scans", [&](Taking& part) { one.scans.push_back(scan_from(part)); });
  take.objects("copies", [&](Taking& part) {
    one.copies.push_back({part.word("file"), part.word("same_as")});
  });
  take.objects("left_out", [&](Taking& part) {
    one.left_out.push_back({part.word("file"), part.word("reason")});
  });
  one.complete = take.truth("complete");
  one.settled = take.truth("settled");
  one.report = take.word("report");
  if (!take.wrong().empty()) return not_ours(file, take.wrong());
  return one;
}

std::string triage_part_json(const TriagePart& part) {
  const Json out{{"schema", kPartSchema},
                 {"part", part.part},
                 {"settings", part.settings},
                 {"cases", part.cases},
                 {"lines_sha256", part.lines_sha256}};
  return out.dump() + '\n';
}

Result<TriagePart> triage_part_of(std::string_view json, const std::string& file) {
  const auto tree = read_json(json, file);
  if (!tree) return tree.problems();
  if (!tree->is_object()) return not_ours(file, "schema");
  Taking take(*tree);
  take.expect(take.word("schema") == kPartSchema, "schema");
  TriagePart part{take.word("part"), take.hash("settings"), take.count("cases"), take.hash("lines_sha256")};
  if (!take.wrong().empty()) return not_ours(file, take.wrong());
  return part;
}

}  // namespace scrapetrace::report
