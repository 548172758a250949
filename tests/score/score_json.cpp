#include "score/score_json.h"

#include <nlohmann/json.hpp>

#include "report/read_json.h"
#include "report/words.h"

namespace scrapetrace::score {

using report::Json;
using report::read_json;
using report::valid_utf8;

namespace {

Json estimate(const Estimate& e) {
  return {{"cases", e.cases}, {"value", e.value}, {"low", e.low}, {"high", e.high}};
}

Json rank_rows(const std::vector<RankRow>& rows) {
  Json out = Json::array();
  for (const RankRow& row : rows) {
    out.push_back({{"name", row.name},
                   {"first", estimate(row.first)},
                   {"among_two", estimate(row.among_two)},
                   {"ideal_first", estimate(row.ideal_first)},
                   {"ideal_among_two", estimate(row.ideal_among_two)},
                   {"given_away", estimate(row.given_away)}});
  }
  return out;
}

Json sight(const std::vector<SightRow>& rows) {
  Json out = Json::array();
  for (const SightRow& row : rows) {
    out.push_back({{"name", row.name},
                   {"first_target", estimate(row.first)},
                   {"first_trace", estimate(row.traced)},
                   {"no_target", estimate(row.no_target)}});
  }
  return out;
}

Json calibration(const Calibration& c) {
  Json bins = Json::array();
  for (const ReliabilityBin& bin : c.bins)
    bins.push_back(
        {{"targets", bin.targets}, {"probability", bin.probability}, {"right", estimate(bin.right)}});
  return {{"calibration_error", c.calibration_error},
          {"by_chance", c.chance_error},
          {"by_chance_95", c.chance_error_95},
          {"reliability", c.reliability},
          {"resolution", c.resolution},
          {"uncertainty", c.uncertainty},
          {"bins", std::move(bins)}};
}

Json beliefs(const BeliefSummary& b) {
  return {{"brier", estimate(b.brier)},
          {"log_loss", estimate(b.log_loss)},
          {"named_targets", calibration(b.named)},
          {"first_targets", calibration(b.best)}};
}

Json detection(const std::vector<DetectionRow>& rows) {
  Json out = Json::array();
  for (const DetectionRow& row : rows) {
    Json bins = Json::array();
    for (const DetectionBin& bin : row.bins)
      bins.push_back(
          {{"d_prime", bin.d_prime}, {"found", estimate(bin.found)}, {"matched_filter", bin.bound}});
    out.push_back({{"widths", row.widths},
                   {"cases", row.cases},
                   {"d_prime_at_90", row.at_90 > 0 ? Json(row.at_90) : Json(nullptr)},
                   {"matched_filter_at_90", row.bound_at_90},
                   {"bins", std::move(bins)}});
  }
  return out;
}

Json evidence(const std::vector<EvidenceRow>& rows) {
  Json out = Json::array();
  for (const EvidenceRow& row : rows) {
    out.push_back({{"name", row.name},
                   {"first", estimate(row.first)},
                   {"log_loss", estimate(row.log_loss)},
                   {"gain", estimate(row.gain)},
                   {"first_gain", estimate(row.first_gain)}});
  }
  return out;
}

Json position(const PositionSummary& p) {
  return {{"cases", p.cases},
          {"rms_error_mm", p.rms_error_mm},
          {"rms_claimed_mm", p.rms_claimed_mm},
          {"rms_bound_mm", p.rms_bound_mm}};
}

Json causes(const ScoreSummary& s) {
  Json out = Json::object();
  for (std::size_t t = 0; t < kCauseCount; ++t) {
    Json row = Json::object();
    for (std::size_t n = 0; n < kCauseCount; ++n) row[to_string(static_cast<Cause>(n))] = s.causes[t][n];
    row["none"] = s.causes[t][kCauseCount];
    out[to_string(static_cast<Cause>(t))] = std::move(row);
  }
  Json none = Json::object();
  for (std::size_t n = 0; n < kCauseCount; ++n) none[to_string(static_cast<Cause>(n))] = s.false_streaks[n];
  out["none"] = std::move(none);
  return out;
}

Json run(const std::vector<ScoreMachine>& machines, const ScoreOptions& options, const std::string& program) {
  Json names = Json::array();
  for (const auto& m : machines) names.push_back(valid_utf8(m.name));
  Json kinds = Json::array();
  for (const CaseKind kind : options.kinds) kinds.push_back(to_string(kind));
  return {{"program", program},        {"seed", options.seed},  {"machines", std::move(names)},
          {"kinds", std::move(kinds)}, {"dpi", options.dpi},    {"full_height", options.full_height},
          {"sheets", options.sheets},  {"ideal", options.ideal}};
}

Json position(const std::optional<PositionRecord>& p) {
  if (!p) return nullptr;
  return Json::array({p->error_mm, p->claimed_mm, p->bound_mm, p->registration_mm});
}

std::optional<PositionRecord> position_from(const Json& json) {
  if (json.is_null()) return std::nullopt;
  return PositionRecord{json.at(0), json.at(1), json.at(2), json.at(3)};
}

Json evidence(const std::optional<EvidenceRecord>& e) {
  if (!e) return nullptr;
  return {{"several", e->several}, {"again", e->again}, {"before", e->before}};
}

Cause cause_from(const std::string& word) {
  for (std::size_t c = 0; c < kCauseCount; ++c) {
    if (word == to_string(static_cast<Cause>(c))) return static_cast<Cause>(c);
  }
  throw std::invalid_argument(word);
}

CaseRecord record_from(const Json& json) {
  CaseRecord r;
  r.index = json.at("index");
  const auto kind = case_kind_from(json.at("kind"));
  if (!kind) throw std::invalid_argument("kind");
  r.kind = *kind;
  r.machine = json.at("machine");
  r.dpi = json.at("dpi");
  r.jpeg_quality = json.at("jpeg_quality");
  r.what = json.at("what");
  r.analysed = json.at("analysed");
  r.truth = json.at("truth");
  r.width_mm = json.at("width_mm");
  r.loss = json.at("loss");
  r.d_prime = json.at("d_prime");
  r.detected = json.at("detected");
  r.located = json.at("located").get<std::vector<double>>();
  r.traced = json.at("traced").get<std::vector<double>>();
  r.contrast = json.at("contrast");
  r.ideal = json.at("ideal").get<std::vector<double>>();
  if (const Json& more = json.at("evidence"); !more.is_null())
    r.evidence = EvidenceRecord{more.at("several"), more.at("again"), more.at("before")};
  r.position = position_from(json.at("position"));
  r.ideal_position = position_from(json.at("ideal_position"));
  for (const Json& c : json.at("causes")) {
    CauseRecord cause{cause_from(c.at(0)), std::nullopt};
    if (!c.at(1).is_null()) cause.named = cause_from(c.at(1));
    r.causes.push_back(cause);
  }
  for (const Json& c : json.at("false_streaks")) r.false_streaks.push_back(cause_from(c));
  if (const Json& jet = json.at("jet"); !jet.is_null()) r.jet = JetRecord{jet.at(0), jet.at(1), jet.at(2)};
  return r;
}

}  // namespace

std::string case_line(const CaseRecord& r) {
  Json causes = Json::array();
  for (const CauseRecord& c : r.causes)
    causes.push_back(Json::array({to_string(c.truth), c.named ? Json(to_string(*c.named)) : Json(nullptr)}));
  Json false_streaks = Json::array();
  for (const Cause c : r.false_streaks) false_streaks.push_back(to_string(c));
  const Json out{{"schema", "scrapetrace.case/1"},
                 {"index", r.index},
                 {"kind", to_string(r.kind)},
                 {"machine", valid_utf8(r.machine)},
                 {"dpi", r.dpi},
                 {"jpeg_quality", r.jpeg_quality},
                 {"what", valid_utf8(r.what)},
                 {"analysed", r.analysed},
                 {"truth", r.truth},
                 {"width_mm", r.width_mm},
                 {"loss", r.loss},
                 {"d_prime", r.d_prime},
                 {"detected", r.detected},
                 {"located", r.located},
                 {"traced", r.traced},
                 {"contrast", r.contrast},
                 {"ideal", r.ideal},
                 {"evidence", evidence(r.evidence)},
                 {"position", position(r.position)},
                 {"ideal_position", position(r.ideal_position)},
                 {"causes", std::move(causes)},
                 {"false_streaks", std::move(false_streaks)},
                 {"jet", r.jet ? Json::array({r.jet->head, r.jet->ink, r.jet->jet}) : Json(nullptr)}};
  return out.dump();
}

std::optional<CaseRecord> case_from_line(std::string_view line) {
  const auto json = read_json(line, "");
  if (!json || !json->is_object()) return std::nullopt;
  try {
    if (json->value("schema", "") != "scrapetrace.case/1") return std::nullopt;
    return record_from(*json);
  } catch (const std::exception&) {
    return std::nullopt;
  }
}

std::string run_line(const std::vector<ScoreMachine>& machines, const ScoreOptions& options,
                     const std::string& program) {
  Json out{{"schema", "scrapetrace.cases/1"}};
  out.update(run(machines, options, program));
  return out.dump();
}

std::optional<std::string> program_of(std::string_view line, std::string_view run) {
  const auto theirs = read_json(line, "");
  const auto ours = read_json(run, "");
  if (!theirs || !ours || !theirs->is_object() || !ours->is_object()) return std::nullopt;
  const std::string program = theirs->value("program", "");
  Json renamed = *ours;
  renamed["program"] = program;
  if (program.empty() || *theirs != renamed) return std::nullopt;
  return program;
}

std::string score_json(const ScoreSummary& s, const std::vector<ScoreMachine>& machines,
                       const ScoreOptions& options, const std::string& program,
                       const report::Origin& origin) {
  const Json out{
      {"schema", "scrapetrace.score/1"},
      {"tool_version", origin.tool_version},
      {"inputs", report::inputs(origin)},
      {"run", run(machines, options, program)},
      {"cases", s.cases},
      {"not_analysed", s.not_analysed},
      {"targets", rank_rows(s.targets)},
      {"sides", rank_rows(s.sides)},
      {"located", beliefs(s.located)},
      {"ideal", beliefs(s.ideal)},
      {"detection", detection(s.detection)},
      {"position", position(s.position)},
      {"ideal_position", position(s.ideal_position)},
      {"causes", causes(s)},
      {"sight", sight(s.sight)},
      {"false_targets_on_clean_pages", estimate(s.false_targets)},
      {"false_traces_on_clean_pages", estimate(s.false_traces)},
      {"dead_jets",
       {{"head", estimate(s.jet_head)}, {"ink", estimate(s.jet_ink)}, {"all", estimate(s.jet_all)}}},
      {"residue_taken_for_dead_jet", estimate(s.residue_as_jet)},
      {"dead_jet_taken_for_residue", estimate(s.jet_as_residue)},
      {"evidence", evidence(s.evidence)}};
  return out.dump(2) + "\n";
}

}  // namespace scrapetrace::score
