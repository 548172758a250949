#include <fmt/format.h>

#include "report/jet_lines.h"
#include "report/recheck_report.h"
#include "report/text_sections.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

std::string numbered(const StreakChange& change) {
  std::string out;
  if (change.before) out = fmt::format("before {}", *change.before);
  if (change.after) out += fmt::format("{}after {}", out.empty() ? "" : ", ", *change.after);
  return out;
}

std::string one_change(const RecheckStory& story, const StreakChange& change) {
  const LengthUnit unit = story.unit;
  const bool added = is_added(change);
  std::string out = wrap(
      "  - ", fmt::format("at {} from the left, {} wide ({}): {}", length(change.x_sheet_mm, 1, unit),
                          length(change.width_mm, 2, unit), numbered(change), change_words(change, unit)));
  out += wrap("      ",
              fmt::format("{} before: {}; after: {}", added ? "ink added" : "ink missing",
                          reading_words(change.loss_before, added), reading_words(change.loss_after, added)));
  for (const auto& remark : change_remarks(story, change)) out += wrap("      ", remark);
  return out;
}

std::string target_lines(const RecheckStory& story) {
  std::string out;
  std::size_t n = 0;
  for (const auto* target : targets_worth_naming(story.result)) {
    out += wrap(fmt::format("  {}. {:>10}  ", ++n, percent(target->now)),
                fmt::format("{}{}; {} before the cleaning, {} knowing what it did{}",
                            place_name(target->head, target->side, target->surface),
                            target->cleaned ? " (cleaned)" : "", percent(target->before),
                            percent(target->was), jets_alarm(*target, story.unit, "; ")));
  }
  return out.empty() ? out : "Targets: chance that residue is there now\n" + out;
}

}  // namespace

std::string recheck_text(const RecheckStory& story) {
  std::string out = wrap("", recheck_sentence(story));
  if (const auto where = where_next(story); !where.empty()) out += wrap("  ", "Where first: " + where + ".");
  out += '\n';
  if (opens_machine(story.result.next)) {
    out += cautions_text() + '\n';
  }
  out += "What to do\n";
  std::size_t n = 0;
  for (const auto& step : recheck_steps(story)) out += wrap(fmt::format("  {}. ", ++n), step);
  if (!story.result.changes.empty()) out += "\nStreaks, left to right\n";
  for (const auto& change : story.result.changes) out += one_change(story, change);
  if (!story.result.jets.empty()) out += "\nWeak and dead jets after the cleaning\n";
  for (const auto& line : jet_lines(story.result.jets, story.unit, " after")) out += wrap("  - ", line);
  out += '\n' + wrap("", "Loosened ink: " + haze_words(story.result));
  if (const auto targets = target_lines(story); !targets.empty()) out += '\n' + targets;
  if (const auto unchecked = unchecked_section(story.evidence.after, story.unit); !unchecked.empty())
    out += '\n' + unchecked;
  out += "\nBefore: " + scans_section(story.evidence.before, story.unit);
  out += "After: " + scans_section(story.evidence.after, story.unit);
  return out + '\n' + wrap("", recheck_model(story));
}

}  // namespace scrapetrace::report
