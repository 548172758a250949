#include "report/steps.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "report/words.h"

namespace scrapetrace::report {

namespace {

constexpr const char* kAgain =
    "Print the same sheet again, scan it the same way and run locate on the new scan: the streak must be "
    "gone.";
constexpr const char* kTakeUp =
    "Take up loose ink and crumbs, so that none of it cures again or reaches the drum.";

// Where to look, and what may be removed there.
void add_cleaning(const Target& target, const std::string& when, LengthUnit unit,
                  std::vector<std::string>& steps) {
  steps.push_back(fmt::format(
      "{} head {}, {} side as stencilled; look for a proud spot on the {}, {}. Nothing there: look at the "
      "next target before cleaning.",
      when, printable(target.head), to_string(target.side), printable(target.surface),
      where_on_head(target, unit)));
  if (target.over_jets) {
    steps.push_back(
        fmt::format("Take it off {}, as the service documentation says, away from the jets (about {} min). "
                    "Leave what lies further in to the machine's own head cleaning: never scrape there.",
                    jets_note(target, unit), decimals(target.effort_min, 0)));
  } else {
    steps.push_back(
        fmt::format("Take it off as the service documentation says, away from the jets (about {} min).",
                    decimals(target.effort_min, 0)));
  }
  steps.emplace_back(kTakeUp);
}

std::vector<std::string> cleaning_steps(const Target& target, LengthUnit unit) {
  std::vector<std::string> steps;
  steps.emplace_back("Follow the cautions above: switch off, isolate, wait.");
  if (!target.never_scrape()) {
    add_cleaning(target, "Reach", unit, steps);
    return steps;
  }
  steps.push_back(
      fmt::format("Do not scrape head {}: run the machine's own head cleaning, or wipe as its service "
                  "documentation says.",
                  printable(target.head)));
  steps.emplace_back(kTakeUp);
  return steps;
}

// Another job for the same visit.
std::string while_open(const Target& target, LengthUnit unit) {
  const std::string place = fmt::format("{}, {}", place_name(target.head, target.side, target.surface),
                                        where_on_head(target, unit));
  if (target.never_scrape()) return "Leave alone for now: " + place + ".";
  return fmt::format("While it is open, the same at {} (about {} min).", place,
                     decimals(target.effort_min, 0));
}

std::vector<std::string> scanning_steps(const Findings& findings, LengthUnit unit) {
  auto steps = unread_scans(findings, unit);
  if (findings.any_scan_analysed())
    steps.emplace_back(
        "Print a sheet whose solids reach across all heads and scan the whole of it: 'Not checked' lists "
        "what "
        "did not show.");
  else
    steps.emplace_back("Put that right, scan again and run locate again.");
  return steps;
}

}  // namespace

std::vector<std::string> unread_scans(const Findings& findings, LengthUnit unit) {
  constexpr std::size_t kMostNamed = 5;
  std::vector<std::string> out;
  for (const ScanReport& scan : findings.scans) {
    if (scan.analysed() || scan.reasons.empty() || out.size() == kMostNamed) continue;
    out.push_back(
        fmt::format("{}: {}.", printable(scan.file), sentence_in(printable(scan.reasons.front()), unit)));
  }
  return out;
}

std::vector<std::string> steps_for(const Answer& answer, const Findings& findings, LengthUnit unit) {
  switch (answer.kind) {
    case AnswerKind::could_not_look:
      return scanning_steps(findings, unit);
    case AnswerKind::nothing_found:
      return {
          "Nothing to clean. If you do see a streak on the print, scan that sheet, finer and whole, and run "
          "locate again."};
    case AnswerKind::too_faint:
      return {
          "Leave the machine alone: what was found is listed under 'Traces', and no eye sees it on the "
          "print.",
          "Keep these scans. Print the same sheet again after some days of work, scan it the same way and "
          "compare.",
          "A trace that grows becomes a target by itself; --faint-too makes targets of traces now."};
    case AnswerKind::other_causes:
      if (beyond_layout(findings)) {
        return {
            "Leave the heads alone for now. Compare travel and the order of shift_px in the layout with the "
            "machine's service documentation.",
            "Put the layout right and run locate on the same scans again: no new print is needed for it.",
            "Are they right already? Then print and scan again, and ask for help with the files of both."};
      }
      return {"Leave the heads alone; see 'Not a scrape' and 'Streaks' for each streak.",
              "Put that right, print and scan again and run locate on the new scan."};
    case AnswerKind::choose:
    case AnswerKind::clean:
      break;
  }
  const Target& target = findings.targets[answer.targets.front()];
  auto steps = cleaning_steps(target, unit);
  if (findings.layout_unproved())
    steps.insert(steps.begin(),
                 "First find out which machine printed the sheet, and give its layout: until then the places "
                 "below are guesses.");
  std::optional<std::size_t> rival;  // of a place that must not be scraped
  for (std::size_t i = 1; i < answer.targets.size(); ++i) {
    const Target& next = findings.targets[answer.targets[i]];
    if (i == 1 && target.never_scrape() &&
        (answer.kind == AnswerKind::choose || shares_streak(target, next))) {
      rival = answer.targets[i];
    } else if (answer.kind == AnswerKind::clean) {
      steps.push_back(while_open(next, unit));
    }
  }
  steps.emplace_back(kAgain);
  if (rival) add_cleaning(findings.targets[*rival], "Still there: reach", unit, steps);
  if (rival) steps.emplace_back(kAgain);
  steps.emplace_back("Still there: go on with the next target that the new scan names.");
  return steps;
}

std::string sight_of(const Findings& findings, LengthUnit unit) {
  double finest = 0;
  std::size_t seen = 0;
  for (const ScanReport& scan : findings.scans) {
    if (!scan.analysed()) continue;
    ++seen;
    finest = std::max(finest, scan.finest_streak_mm);
  }
  std::string out = fmt::format("{} of {} scan{} analysed.", seen, findings.scans.size(),
                                findings.scans.size() == 1 ? "" : "s");
  if (finest > 0) {
    out += fmt::format(" A streak that takes all ink would show from {} wide; fainter ones must be wider.",
                       length(std::max(finest, 0.01), 2, unit));
  }
  if (!findings.unchecked.empty()) out += " Some of the drum was not seen at all: see 'Not checked'.";
  return out;
}

}  // namespace scrapetrace::report
