#include <algorithm>
#include <cmath>

#include "report/answer.h"
#include "report/json_values.h"
#include "report/triage_report.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

double missing_mm(const Streak& streak) {
  return streak.likeliest() == Cause::scanner_line ? 0 : std::abs(streak.loss) * streak.width_mm;
}

const Streak* worst(const Findings& findings) {
  const Streak* found = nullptr;
  for (const auto& streak : findings.streaks) {
    if (missing_mm(streak) > (found == nullptr ? 0 : missing_mm(*found))) found = &streak;
  }
  return found;
}

int group_of(AnswerKind kind) {
  switch (kind) {
    case AnswerKind::clean:
      return 0;
    case AnswerKind::choose:
      return 1;
    case AnswerKind::other_causes:
      return 2;
    case AnswerKind::could_not_look:
      return 3;
    case AnswerKind::nothing_found:
      break;
  }
  return 4;
}

Json target_of(const Findings& findings, AnswerKind kind) {
  if (kind != AnswerKind::clean && kind != AnswerKind::choose) return nullptr;
  const Target& target = findings.targets.front();
  Json out = place(target.head, target.side, target.surface);
  out["probability"] = probability(target.probability);
  out["over_jets"] = target.over_jets;
  return out;
}

Json streak_of(const Streak* streak) {
  if (streak == nullptr) return nullptr;
  return {{"cause", to_string(streak->likeliest())},
          {"x_sheet_mm", mm(streak->x_sheet_mm)},
          {"width_mm", mm(streak->width_mm)},
          {"loss", probability(streak->loss)}};
}

Json scans_of(const TriageCase& one) {
  Json out = Json::array();
  for (std::size_t i = 0; i < one.files.size(); ++i) {
    const auto& scan = one.findings.scans[i];
    out.push_back({{"file", text(one.files[i].name)},
                   {"sha256", one.files[i].sha256.empty() ? Json(nullptr) : Json(one.files[i].sha256)},
                   {"analysed", scan.analysed()},
                   {"verdict", to_string(scan.verdict)},
                   {"reasons", texts(scan.reasons)}});
  }
  return out;
}

Json copies_of(const TriageCase& one) {
  Json out = Json::array();
  for (const auto& copy : one.copies)
    out.push_back({{"file", text(copy.name)}, {"same_as", text(copy.same_as)}});
  return out;
}

}  // namespace

TriageRank triage_rank(const Findings& findings) {
  const AnswerKind kind = answer(findings).kind;
  const Streak* streak = worst(findings);
  TriageRank rank{group_of(kind), streak == nullptr ? 0 : missing_mm(*streak)};
  if (kind == AnswerKind::clean || kind == AnswerKind::choose) {
    rank.score *= findings.targets.front().probability;
  } else if (streak != nullptr) {
    rank.score *= streak->causes[static_cast<std::size_t>(streak->likeliest())];
  }
  return rank;
}

std::string rescan_sentence(const TriageCase& one) {
  std::string poor;    // was read, and did not serve
  std::string absent;  // is not here, so that nobody can say how it was scanned
  for (std::size_t i = 0; i < one.files.size(); ++i) {
    const auto& scan = one.findings.scans[i];
    if (scan.analysed() && scan.verdict != QualityVerdict::rescan) continue;
    std::string& list = one.files[i].sha256.empty() ? absent : poor;
    for (const auto& reason : scan.reasons)
      list += (list.empty() ? "" : "; ") + printable(scan.file) + ": " + printable(reason);
  }
  std::string out;
  if (one.findings.any_scan_analysed() && !one.findings.looked())
    out = "Please print a sheet whose solids reach across all heads and send us a scan of the whole of it: " +
          printable(one.name) + " shows " + little(one.findings.checked) +
          " of the places where residue may sit.";
  if (!poor.empty()) out += out.empty() ? "" : " ";
  if (!poor.empty()) out += "Please scan " + printable(one.name) + " again and send it to us: " + poor + ".";
  if (absent.empty()) return out;
  return out + (out.empty() ? "" : " ") + "A scan of " + printable(one.name) + " cannot be opened here (" +
         absent + "): please send it again.";
}

std::string copies_sentence(const std::vector<TriageCopy>& copies) {
  std::string out;
  for (const auto& copy : copies)
    out += (out.empty() ? "" : " ") + printable(copy.name) + " holds the same bytes as " +
           printable(copy.same_as) + " and was left out.";
  return out;
}

std::string triage_sentence(const TriageCase& one) {
  std::string out = printable(one.name) + ": " + answer(one.findings).sentence;
  for (const std::string& more : {rescan_sentence(one), copies_sentence(one.copies)})
    out += (more.empty() ? "" : " ") + more;
  return out + '\n';
}

std::string triage_line(const TriageCase& one, std::string_view tool_version) {
  const Answer found = answer(one.findings);
  const auto rank = triage_rank(one.findings);
  const std::string rescan = rescan_sentence(one);
  const Json out{{"schema", "scrapetrace.triage/1"},
                 {"case", text(one.name)},
                 {"key", one.key},
                 {"tool_version", std::string(tool_version)},
                 {"layout_sha256", one.layout_sha256},
                 {"chart_sha256", one.chart_sha256.empty() ? Json(nullptr) : Json(one.chart_sha256)},
                 {"answer", {{"kind", to_string(found.kind)}, {"sentence", text(found.sentence)}}},
                 {"group", rank.group},
                 {"score", number(rank.score, 5)},
                 {"target", target_of(one.findings, found.kind)},
                 {"worst_streak", streak_of(worst(one.findings))},
                 {"streaks", one.findings.streaks.size()},
                 {"unchecked", one.findings.unchecked.size()},
                 {"rescan", rescan.empty() ? Json(nullptr) : text(rescan)},
                 {"scans", scans_of(one)},
                 {"copies", copies_of(one)},
                 {"report", text(one.report)}};
  return out.dump();
}

}  // namespace scrapetrace::report
