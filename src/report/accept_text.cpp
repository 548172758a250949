#include <fmt/format.h>

#include <algorithm>

#include "report/accept_report.h"
#include "report/jet_lines.h"
#include "report/mixed.h"
#include "report/text_sections.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

template <class List>
std::string listed(const List& items) {
  std::string out;
  for (const auto& item : items) {
    if constexpr (std::is_same_v<std::decay_t<decltype(item)>, std::string>) {
      out += (out.empty() ? "" : ", ") + printable(item);
    } else {
      out += (out.empty() ? "" : ", ") + std::to_string(item);
    }
  }
  return out;
}

bool lost_jets(const AcceptStory& story) {
  const auto& limits = story.result.limits;
  return std::any_of(limits.begin(), limits.end(), [](const LimitVerdict& limit) {
    return limit.kind == LimitKind::lost_jets && limit.verdict == Verdict::fail;
  });
}

}  // namespace

std::string limit_value(LimitKind kind, double number, LengthUnit unit) {
  switch (kind) {
    case LimitKind::loss:
      return fmt::format("{} % of the ink", decimals(100 * number, 1));
    case LimitKind::width:
      return length(number, 2, unit);
    case LimitKind::sight:
      return length(number, 3, unit);
    case LimitKind::visible:
      return decimals(number, 2);
    case LimitKind::scans:
    case LimitKind::mixed:
    case LimitKind::number:
    case LimitKind::dead_jets:
    case LimitKind::lost_jets:
    case LimitKind::unchecked_sides:
      break;
  }
  return decimals(number, 0);
}

std::string measured_value(const LimitVerdict& limit, LengthUnit unit) {
  if (!(limit.sigma > 0)) return limit_value(limit.kind, limit.measured, unit);
  switch (limit.kind) {
    case LimitKind::loss:
      return fmt::format("{} % (+-{}) of the ink", decimals(100 * limit.measured, 1),
                         decimals(100 * limit.sigma, 1));
    case LimitKind::width:
      return fmt::format("{} (+-{})", length(limit.measured, 2, unit), length_value(limit.sigma, 2, unit));
    default:
      return fmt::format("{} (+-{})", limit_value(limit.kind, limit.measured, unit),
                         decimals(limit.sigma, 2));
  }
}

const char* what_is_measured(LimitKind kind) {
  switch (kind) {
    case LimitKind::scans:
      return "scans that could not be analysed";
    case LimitKind::mixed:
      return "scans that contradict the others";
    case LimitKind::sight:
      return "finest streak of total loss within sight";
    case LimitKind::loss:
      return "most ink missing in a streak";
    case LimitKind::width:
      return "widest streak";
    case LimitKind::number:
      return "streaks that count";
    case LimitKind::visible:
      return "most visible streak (CIEDE2000, weighted with contrast sensitivity)";
    case LimitKind::dead_jets:
      return "most dead jets in one head";
    case LimitKind::lost_jets:
      return "jets lost since the scans from before";
    case LimitKind::unchecked_sides:
      break;
  }
  return "head sides not wholly seen";
}

const char* verdict_words(Verdict verdict) {
  if (verdict == Verdict::pass) return "pass";
  return verdict == Verdict::fail ? "FAIL" : "cannot judge";
}

std::string nothing_counts(const AcceptStory& story, LimitKind kind) {
  const auto& scans = story.findings.scans;
  const auto judged =
      std::count_if(scans.begin(), scans.end(), [](const ScanReport& scan) { return scan.analysed(); });
  const std::string on = fmt::format("{} scan{}", judged, judged == 1 ? "" : "s");
  switch (kind) {
    case LimitKind::scans:
      return on + " analysed";
    case LimitKind::mixed:
      return "no contradiction on " + on;
    case LimitKind::sight:
      return "no scan analysed";
    case LimitKind::dead_jets:
      return "no dead jet on " + on;
    case LimitKind::lost_jets:
      return story.jets != nullptr ? "no jet lost on " + on
                                   : "no scan from before was given: name one with --before";
    case LimitKind::unchecked_sides:
      return "every side seen on " + on;
    case LimitKind::loss:
    case LimitKind::width:
    case LimitKind::number:
    case LimitKind::visible:
      break;
  }
  return "no streak on " + on;
}

std::string where_shown(const AcceptStory& story, const LimitVerdict& limit) {
  std::string out;
  for (const auto& place : limit.places) out += (out.empty() ? "head " : ", head ") + printable(place);
  for (const std::size_t id : limit.streaks) {
    out += fmt::format("{}streak {}", out.empty() ? "" : ", ", id);
    for (const Streak& streak : story.findings.streaks) {
      if (streak.id == id) out += " at " + length(streak.x_sheet_mm, 1, story.unit);
    }
  }
  if (!limit.scans.empty()) out += (out.empty() ? "" : " on ") + listed(limit.scans);
  return out.empty() ? nothing_counts(story, limit.kind) : out;
}

std::string limit_reason(const AcceptStory& story, const LimitVerdict& limit) {
  return fmt::format("{}: {}; allowed: {}; {}", what_is_measured(limit.kind),
                     measured_value(limit, story.unit), limit_value(limit.kind, limit.limit, story.unit),
                     where_shown(story, limit));
}

std::string accept_sentence(const AcceptStory& story) {
  const auto& limits = story.result.limits;
  const auto decides = [&](const LimitVerdict& limit) { return limit.verdict == story.result.verdict; };
  const auto deciding = std::find_if(limits.begin(), limits.end(), decides);
  const auto others = std::count_if(limits.begin(), limits.end(), decides) - 1;
  switch (story.result.verdict) {
    case Verdict::pass:
      return fmt::format("Pass: within all limits of {}.", printable(story.limits.name));
    case Verdict::fail:
      return fmt::format(
          "Fail: {}.{}", limit_reason(story, *deciding),
          others == 0 ? ""
                      : fmt::format(" {} more limit{} exceeded.", others, others == 1 ? " is" : "s are"));
    case Verdict::cannot_judge:
      break;
  }
  if (!story.findings.any_scan_analysed()) return "Cannot judge: no scan could be analysed.";
  if (const auto mixed = mixed_words(story.findings); !mixed.empty())
    return fmt::format("Cannot judge, the scans are mixed: {}.", mixed);
  if (deciding != limits.end()) return fmt::format("Cannot judge: {}.", limit_reason(story, *deciding));
  if (!story.findings.looked())
    return fmt::format("Cannot judge: the scans show {} of the places where residue may sit.",
                       little(story.findings.checked));
  return "Cannot judge: nothing proves that the layout's machine printed the sheet.";
}

std::vector<std::string> accept_steps(const AcceptStory& story) {
  const auto unread = [](const ScanReport& scan) { return !scan.analysed(); };
  switch (story.result.verdict) {
    case Verdict::pass:
      return {"Keep the scans and this verdict with the unit's record (case add --verdict)."};
    case Verdict::fail:
      if (lost_jets(story)) {
        return {
            "Clean and scrape nothing more at these heads: the next scrape can take more jets.",
            "Run the machine's own head cleaning as its service documentation says, print and scan again: "
            "a jet that is only blocked comes back.",
            "Jets that stay away: have trained staff look at the head; keep scans and verdict."};
      }
      return {
          "Treat the print as your procedure says for one outside its limits; keep scans and verdict.",
          "Where the streaks come from, and what to do about it, is for locate to say: run it on the same "
          "scans."};
    case Verdict::cannot_judge:
      break;
  }
  std::vector<std::string> out{"This is neither a pass nor a fail: release nothing on it."};
  if (!contradicting(story.findings).empty())
    out.emplace_back(
        "Sort the sheets by machine and by when they were printed, and run accept on each heap by itself.");
  if (std::any_of(story.findings.scans.begin(), story.findings.scans.end(), unread))
    out.emplace_back("Put right what 'Scans' says, and scan those sheets again.");
  out.emplace_back(
      "A value closer to its limit than the guard, or a place out of sight, is settled by finer, whole or "
      "more "
      "scans of the same prints.");
  if (story.limits.lost_max && story.jets == nullptr)
    out.emplace_back(
        "Name a scan of this unit from before the work with --before: it shows which jets printed.");
  out.emplace_back("Run accept again on all scans.");
  return out;
}

std::string accept_text(const AcceptStory& story) {
  std::string out = wrap("", accept_sentence(story));
  out += "\nWhat to do\n";
  std::size_t n = 0;
  for (const auto& step : accept_steps(story)) out += wrap(fmt::format("  {}. ", ++n), step);
  out += fmt::format("\nLimits: {}\n", printable(story.limits.name));
  for (const auto& limit : story.result.limits)
    out += wrap(fmt::format("  {:<13} ", verdict_words(limit.verdict)), limit_reason(story, limit));
  if (story.jets != nullptr && !story.jets->empty()) {
    out += "\nWeak and dead jets, and since when\n";
    for (const auto& line : jet_lines(*story.jets, story.unit)) out += wrap("  - ", line);
  }
  for (const auto& section :
       {streaks_section(story.findings, story.unit), unchecked_section(story.findings, story.unit)}) {
    if (!section.empty()) out += '\n' + section;
  }
  return out + '\n' + scans_section(story.findings, story.unit) +
         fmt::format("\nLayout: {}\n", printable(story.layout.name));
}

}  // namespace scrapetrace::report
