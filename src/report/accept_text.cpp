#include <fmt/format.h>

#include <algorithm>

#include "report/accept_report.h"
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
    case LimitKind::number:
    case LimitKind::dead_jets:
    case LimitKind::unchecked_sides:
      break;
  }
  return decimals(number, 0);
}

const char* what_is_measured(LimitKind kind) {
  switch (kind) {
    case LimitKind::scans:
      return "scans that could not be analysed";
    case LimitKind::sight:
      return "finest streak of total loss within sight";
    case LimitKind::loss:
      return "most ink missing in a streak";
    case LimitKind::width:
      return "widest streak";
    case LimitKind::number:
      return "streaks";
    case LimitKind::visible:
      return "most visible streak (CIEDE2000, weighted with contrast sensitivity)";
    case LimitKind::dead_jets:
      return "most dead jets in one head";
    case LimitKind::unchecked_sides:
      break;
  }
  return "head sides not wholly seen";
}

const char* verdict_words(Verdict verdict) {
  if (verdict == Verdict::pass) return "pass";
  return verdict == Verdict::fail ? "FAIL" : "cannot judge";
}

std::string limit_reason(const LimitVerdict& limit, LengthUnit unit) {
  std::string out =
      fmt::format("{}: {}", what_is_measured(limit.kind), limit_value(limit.kind, limit.measured, unit));
  if (limit.sigma > 0) out += fmt::format(" (+-{})", limit_value(limit.kind, limit.sigma, unit));
  out += fmt::format("; allowed: {}", limit_value(limit.kind, limit.limit, unit));
  if (!limit.places.empty()) out += "; " + listed(limit.places);
  if (!limit.streaks.empty()) out += fmt::format("; streak {}", listed(limit.streaks));
  if (!limit.scans.empty()) out += fmt::format("; shown by {}", listed(limit.scans));
  return out;
}

std::string accept_sentence(const AcceptStory& story) {
  const auto& limits = story.result.limits;
  const auto deciding = std::find_if(limits.begin(), limits.end(), [&](const LimitVerdict& limit) {
    return limit.verdict == story.result.verdict;
  });
  switch (story.result.verdict) {
    case Verdict::pass:
      return fmt::format("Pass: within all limits of {}.", printable(story.limits.name));
    case Verdict::fail:
      return fmt::format("Fail: {}.", limit_reason(*deciding, story.unit));
    case Verdict::cannot_judge:
      break;
  }
  if (!story.findings.any_scan_analysed()) return "Cannot judge: no scan could be analysed.";
  return fmt::format("Cannot judge: {}.", limit_reason(*deciding, story.unit));
}

std::string accept_text(const AcceptStory& story) {
  std::string out = wrap("", accept_sentence(story));
  out += fmt::format("\nLimits: {}\n", printable(story.limits.name));
  for (const auto& limit : story.result.limits)
    out += wrap(fmt::format("  {:<13} ", verdict_words(limit.verdict)), limit_reason(limit, story.unit));
  for (const auto& section :
       {streaks_section(story.findings, story.unit), unchecked_section(story.findings, story.unit)}) {
    if (!section.empty()) out += '\n' + section;
  }
  return out + '\n' + scans_section(story.findings, story.unit) +
         fmt::format("\nLayout: {}\n", printable(story.layout.name));
}

}  // namespace scrapetrace::report
