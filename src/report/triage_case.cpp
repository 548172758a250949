#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/answer.h"
#include "report/mixed.h"
#include "report/triage_report.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

double missing_mm(const Streak& streak) {
  return streak.likeliest() == Cause::scanner_line ? 0 : std::abs(streak.loss) * streak.width_mm;
}

const Streak* worst_of(const Findings& findings) {
  const Streak* found = nullptr;
  for (const auto& streak : findings.streaks) {
    if (missing_mm(streak) > (found == nullptr ? 0 : missing_mm(*found))) found = &streak;
  }
  return found;
}

TriageGroup group_of(AnswerKind kind) {
  switch (kind) {
    case AnswerKind::clean:
      return TriageGroup::clean;
    case AnswerKind::choose:
      return TriageGroup::choose;
    case AnswerKind::other_causes:
      return TriageGroup::other_causes;
    case AnswerKind::could_not_look:
      return TriageGroup::could_not_look;
    case AnswerKind::too_faint:
      return TriageGroup::too_faint;
    case AnswerKind::nothing_found:
      break;
  }
  return TriageGroup::nothing_found;
}

void take_streaks(const Findings& findings, TriageCase& one) {
  one.streaks = static_cast<std::int64_t>(findings.streaks.size());
  one.traces = static_cast<std::int64_t>(findings.traces.size());
  const Streak* worst = worst_of(findings);
  if (worst == nullptr) return;
  one.worst = {to_string(worst->likeliest()), worst->x_sheet_mm, worst->width_mm, worst->loss};
  one.score = missing_mm(*worst);
  if (one.group != TriageGroup::mixed)
    one.score *= worst->causes[static_cast<std::size_t>(worst->likeliest())];
}

void take_target(const Findings& findings, TriageCase& one) {
  if (one.group != TriageGroup::clean && one.group != TriageGroup::choose) return;
  const Target& target = findings.targets.front();
  one.target = {target.head,        to_string(target.side), target.surface,
                target.probability, target.over_jets,       target.touch_from_mm};
  const Streak* worst = worst_of(findings);
  one.score = worst == nullptr ? 0 : missing_mm(*worst) * target.probability;
}

std::string listed(const std::vector<TriageLeftOut>& left_out) {
  constexpr std::size_t kMostNamed = 3;
  std::string out;
  for (std::size_t i = 0; i < std::min(kMostNamed, left_out.size()); ++i)
    out += (i == 0 ? "" : "; ") + printable(left_out[i].file) + ' ' + printable(left_out[i].reason);
  if (left_out.size() > kMostNamed) out += fmt::format("; and {} more", left_out.size() - kMostNamed);
  return out;
}

std::string rescan_of(const TriageCase& one, const Findings& findings) {
  std::string poor;    // was read but is unusable
  std::string absent;  // is missing, so its scan settings are unknown
  for (const TriageScan& scan : one.scans) {
    if (scan.analysed && scan.verdict != to_string(QualityVerdict::rescan)) continue;
    std::string& list = scan.sha256.empty() ? absent : poor;
    for (const auto& reason : scan.reasons)
      list += (list.empty() ? "" : "; ") + printable(scan.file) + ": " + printable(reason);
  }
  std::string out;
  if (findings.any_scan_analysed() && !findings.looked())
    out = "Please print a sheet whose solids reach across all heads and send us a scan of the whole of it: " +
          printable(one.name) + " shows " + little(findings.checked) +
          " of the places where residue may sit.";
  if (!poor.empty()) out += out.empty() ? "" : " ";
  if (!poor.empty()) out += "Please scan " + printable(one.name) + " again and send it to us: " + poor + ".";
  if (absent.empty()) return out;
  return out + (out.empty() ? "" : " ") + "A scan of " + printable(one.name) + " cannot be opened here (" +
         absent + "): please send it again.";
}

void take_no_scan(TriageCase& one) {
  const std::string what = listed(one.left_out);
  one.group = TriageGroup::no_scan;
  one.sentence = "Not a scan: " + what + ".";
  if (one.complete) return;
  one.rescan = "No scan came with " + printable(one.name) + " (" + what +
               "): please send the scans themselves, as TIFF, PNG, JPEG or PDF.";
}

}  // namespace

const char* to_string(TriageGroup group) {
  switch (group) {
    case TriageGroup::mixed:
      return "mixed";
    case TriageGroup::clean:
      return "clean";
    case TriageGroup::choose:
      return "choose";
    case TriageGroup::other_causes:
      return "other_causes";
    case TriageGroup::could_not_look:
      return "could_not_look";
    case TriageGroup::no_scan:
      return "no_scan";
    case TriageGroup::too_faint:
      return "too_faint";
    case TriageGroup::nothing_found:
      break;
  }
  return "nothing_found";
}

void take_findings(const Findings& findings, TriageCase& one) {
  if (findings.scans.empty()) return take_no_scan(one);
  const Answer found = answer(findings);
  one.group = group_of(found.kind);
  one.sentence = found.sentence;
  if (const auto mixed = mixed_words(findings); !mixed.empty()) {
    one.group = TriageGroup::mixed;
    one.sentence = "Mixed: " + mixed + ". Sort them out, and judge each heap by itself.";
  }
  take_streaks(findings, one);
  take_target(findings, one);
  one.unchecked = static_cast<std::int64_t>(findings.unchecked.size());
  for (std::size_t i = 0; i < findings.scans.size(); ++i) {
    const ScanReport& scan = findings.scans[i];
    one.scans[i].analysed = scan.analysed();
    one.scans[i].verdict = to_string(scan.verdict);
    one.scans[i].reasons = scan.reasons;
    one.complete = one.complete && scan.analysed();
  }
  one.rescan = rescan_of(one, findings);
}

std::string triage_sentence(const TriageCase& one) {
  std::string out = printable(one.name) + ": " + printable(one.sentence);
  if (!one.rescan.empty()) out += ' ' + printable(one.rescan);
  for (const auto& copy : one.copies)
    out += ' ' + printable(copy.file) + " holds the same bytes as " + printable(copy.same_as) +
           " and was left out.";
  if (one.group != TriageGroup::no_scan && !one.left_out.empty())
    out += " Left out: " + listed(one.left_out) + ".";
  return out + '\n';
}

void TriageCount::add(const TriageCase& one) {
  ++cases.at(static_cast<std::size_t>(one.group));
  copies += static_cast<std::int64_t>(one.copies.size());
  if (one.group != TriageGroup::no_scan) left_out += static_cast<std::int64_t>(one.left_out.size());
}

std::int64_t TriageCount::all() const {
  std::int64_t sum = 0;
  for (const auto number : cases) sum += number;
  return sum;
}

std::string count_sentence(const TriageCount& count) {
  const auto of = [&](TriageGroup group) { return count.cases[static_cast<std::size_t>(group)]; };
  const std::int64_t not_judged =
      of(TriageGroup::mixed) + of(TriageGroup::could_not_look) + of(TriageGroup::no_scan);
  const std::int64_t judged = count.all() - not_judged;
  std::string out =
      fmt::format("{} in: {} case{} judged, {} not", count.all(), judged, judged == 1 ? "" : "s", not_judged);
  std::string why;
  for (const auto& [group, what] : {std::pair{TriageGroup::mixed, "of scans that contradict each other"},
                                    {TriageGroup::could_not_look, "whose scans could not be analysed"},
                                    {TriageGroup::no_scan, "without a scan"}}) {
    if (of(group) > 0) why += fmt::format("{}{} {}", why.empty() ? ": " : ", ", of(group), what);
  }
  out += why + '.';
  if (count.copies + count.left_out == 0) return out;
  return out + fmt::format(" Left out of cases that have scans: {} cop{}, {} input{} that {} no scan.",
                           count.copies, count.copies == 1 ? "y" : "ies", count.left_out,
                           count.left_out == 1 ? "" : "s", count.left_out == 1 ? "is" : "are");
}

}  // namespace scrapetrace::report
