#include <fmt/format.h>

#include <algorithm>

#include "report/recheck_report.h"
#include "report/text_sections.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

constexpr double kWorthNaming = 0.01;

std::string amount(const Reading& reading, bool added) {
  if (!reading.seen) return "not seen";
  if (added) return fmt::format("density {} (+-{})", decimals(-reading.loss, 3), decimals(reading.sigma, 3));
  return fmt::format("{} % (+-{})", decimals(100 * reading.loss, 1), decimals(100 * reading.sigma, 1));
}

std::string numbered(const StreakChange& change) {
  std::string out;
  if (change.before) out = fmt::format("before {}", *change.before);
  if (change.after) out += fmt::format("{}after {}", out.empty() ? "" : ", ", *change.after);
  return out;
}

std::string one_change(const StreakChange& change) {
  const bool added = change.loss_before.loss + change.loss_after.loss < 0;
  std::string out =
      wrap("  - ", fmt::format("at {} mm from the left, {} mm wide ({}): {}", decimals(change.x_sheet_mm, 1),
                               decimals(change.width_mm, 2), numbered(change), change_words(change)));
  out += wrap("      ", fmt::format("{} before: {}; after: {}", added ? "ink added" : "ink missing",
                                    amount(change.loss_before, added), amount(change.loss_after, added)));
  if (change.change == Change::could_not_look && !change.loss_after.seen) {
    out += wrap("      ", "the scans after do not show this place with the same inks");
  } else if (change.change == Change::gone || change.change == Change::could_not_look) {
    out += wrap("      ", fmt::format("at most {} % can still be missing there (95 %)",
                                      decimals(100 * change.at_most, 1)));
  }
  if (const auto* advice = cause_advice(change.cause); change.change != Change::gone && *advice != '\0')
    out += wrap("      ", fmt::format("{}: {}", cause_words(change.cause), advice));
  return out;
}

std::string haze_line(const Recheck& result) {
  switch (result.haze) {
    case Haze::clean:
      return "Loosened ink: none shows on bare paper at the cleaned place.\n";
    case Haze::cleared:
      return "Loosened ink: showed on an earlier sheet, and no longer on the last.\n";
    case Haze::present:
      return wrap("",
                  fmt::format("Loosened ink: the last sheet still shows haze of density {} on bare paper.",
                              decimals(result.haze_density, 3)));
    case Haze::could_not_look:
      break;
  }
  return "Loosened ink: not checked, no bare paper in reach of the cleaned place.\n";
}

std::string targets_now(const RecheckStory& story) {
  std::string out;
  std::size_t n = 0;
  for (const auto& target : story.result.targets) {
    if (std::max({target.before, target.was, target.now}) < kWorthNaming) continue;
    out += wrap(fmt::format("  {}. {:>10}  ", ++n, percent(target.now)),
                fmt::format("{}{}; {} before the cleaning, {} knowing what it did{}",
                            place_name(target.head, target.side, target.surface),
                            target.cleaned ? " (cleaned)" : "", percent(target.before), percent(target.was),
                            target.over_jets ? "; AMONG THE JETS: never scrape there" : ""));
  }
  return out.empty() ? out : "Targets: chance that residue is there now\n" + out;
}

std::vector<std::string> steps(const RecheckStory& story) {
  switch (story.result.next) {
    case NextStep::close:
      return {"Keep both scans with the machine's record."};
    case NextStep::print_on:
      return {"Print some white sheets, then the same page once more.", "Scan it the same way and recheck."};
    case NextStep::clean_again:
    case NextStep::clean_next:
      return {"Follow the cautions above: switch off, isolate, wait.",
              "Look for a proud spot at the place named first. Nothing there: look at the next one.",
              "Take it off as the service documentation says, away from the jets, and take up loose ink.",
              "Print the same page, scan it the same way and recheck against these scans."};
    case NextStep::other_causes:
      return {"Leave the heads alone; see the advice at each streak."};
    case NextStep::look_again:
      break;
  }
  return {"Print the same page again, whole and with white between its patches.",
          "Scan it the same way and recheck before anything is opened."};
}

std::string model(const RecheckStory& story) {
  std::string cleaned;
  for (const auto& place : story.cleaned) cleaned += (cleaned.empty() ? "" : "; ") + cleaned_name(place);
  const auto& o = story.options;
  return wrap(
      "", fmt::format("Cleaned: {}. Taken for granted (common practice, no source): a cleaning takes the "
                      "residue off in {} of cases and part of it in {}; a streak goes by itself in {} and "
                      "weakens in {}.",
                      cleaned, percent(o.success), percent(o.partial), percent(o.gone_by_itself),
                      percent(o.less_by_itself)));
}

}  // namespace

std::string recheck_text(const RecheckStory& story) {
  std::string out = wrap("", recheck_sentence(story)) + '\n';
  const NextStep next = story.result.next;
  if (next == NextStep::clean_again || next == NextStep::clean_next) {
    out += "CAUTION: before a cover comes off\n";
    for (const auto line : cautions()) out += wrap("  ! ", line);
    out += '\n';
  }
  out += "What to do\n";
  std::size_t n = 0;
  for (const auto& step : steps(story)) out += wrap(fmt::format("  {}. ", ++n), step);
  if (!story.result.changes.empty()) out += "\nStreaks, left to right\n";
  for (const auto& change : story.result.changes) out += one_change(change);
  out += '\n' + haze_line(story.result);
  if (const auto targets = targets_now(story); !targets.empty()) out += '\n' + targets;
  if (const auto unchecked = unchecked_section(story.evidence.after); !unchecked.empty())
    out += '\n' + unchecked;
  out += "\nBefore: " + scans_section(story.evidence.before);
  out += "After: " + scans_section(story.evidence.after);
  return out + '\n' + model(story);
}

}  // namespace scrapetrace::report
