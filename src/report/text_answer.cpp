// What to do: the answer, the cautions and the steps.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/text_sections.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

std::string where_on_print(const Target& target) {
  return fmt::format(
      "On the print: {} mm from the sheet's left edge, printed side up, lead edge at the top (X {} mm on the "
      "drum).",
      decimals(target.x_sheet_mm, 1), decimals(target.x_drum_mm, 1));
}

std::string numbers(const std::vector<std::size_t>& ids) {
  std::string out = ids.size() == 1 ? "streak " : "streaks ";
  for (std::size_t i = 0; i < ids.size(); ++i) out += (i > 0 ? ", " : "") + std::to_string(ids[i]);
  return out;
}

std::string rests_on(const Target& target, const Findings& findings) {
  if (target.streaks.empty()) return {};
  std::string out = wrap("  ", fmt::format("It rests on {}:", numbers(target.streaks)));
  for (const Streak& streak : findings.streaks) {
    if (std::find(target.streaks.begin(), target.streaks.end(), streak.id) == target.streaks.end()) continue;
    out += wrap("    - ", fmt::format("streak {} at {} mm, {} mm wide, {} of the ink missing, residue {}",
                                      streak.id, decimals(streak.x_sheet_mm, 1), decimals(streak.width_mm, 1),
                                      percent(streak.loss), percent(streak.causes[0])));
  }
  return out;
}

std::string rivals_of(const Target& target) {
  if (target.rivals.empty()) return wrap("  ", "Rivals: none worth naming.");
  std::string out;
  for (const Rival& rival : target.rivals) {
    out += wrap("  Rival: ", fmt::format("{} ({}). {}", place_name(rival.head, rival.side, rival.surface),
                                         percent(rival.probability), printable(rival.tell_apart)));
  }
  return out;
}

std::string one_target(const Target& target, const Findings& findings, bool named) {
  std::string out;
  if (named) out += wrap("", fmt::format("{}:", place_name(target.head, target.side, target.surface)));
  out +=
      wrap("  ", fmt::format("Where: {} (+-{} mm).", where_on_head(target), decimals(target.x_sigma_mm, 2)));
  out += wrap("  ", where_on_print(target));
  return out + rests_on(target, findings) + rivals_of(target);
}

// What a clean answer is worth: how fine the scans could see.
std::string sight_of(const Findings& findings) {
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
    out += fmt::format(" A streak that takes all ink would show from {} mm wide; fainter ones must be wider.",
                       decimals(std::max(finest, 0.01), 2));
  }
  if (!findings.unchecked.empty()) out += " Some of the drum was not seen at all: see 'Not checked'.";
  return wrap("  ", out);
}

std::vector<std::string> cleaning_steps(const Target& target) {
  std::vector<std::string> steps;
  steps.emplace_back("Follow the cautions above: switch off, isolate, wait.");
  if (target.over_jets) {
    steps.push_back(
        fmt::format("Do not scrape head {}: run the machine's own head cleaning, or wipe as its service "
                    "documentation says.",
                    printable(target.head)));
  } else {
    steps.push_back(fmt::format(
        "Reach head {}, {} side as stencilled; look for a proud spot on the {}, {}. Nothing there: look at "
        "the next target before cleaning.",
        printable(target.head), to_string(target.side), printable(target.surface), where_on_head(target)));
    steps.push_back(
        fmt::format("Take it off as the service documentation says, away from the jets (about {} min).",
                    decimals(target.effort_min, 0)));
  }
  steps.emplace_back("Take up loose ink and crumbs, so that none of it cures again or reaches the drum.");
  return steps;
}

std::vector<std::string> steps_for(const Answer& answer, const Findings& findings) {
  static const std::string kAgain =
      "Print the same sheet again, scan it the same way and run locate on the new scan: the streak must be "
      "gone.";
  switch (answer.kind) {
    case AnswerKind::could_not_look:
      return {"Put right what 'Scans' says, scan again and run locate again."};
    case AnswerKind::nothing_found:
      return {
          "Nothing to clean. If you do see a streak on the print, scan that sheet, finer and whole, and run "
          "locate again."};
    case AnswerKind::other_causes:
      return {"Leave the heads alone; see 'Not a scrape' and 'Streaks' for each streak.",
              "Put that right, print and scan again and run locate on the new scan."};
    case AnswerKind::choose:
    case AnswerKind::clean:
      break;
  }
  const Target& target = findings.targets[answer.targets.front()];
  auto steps = cleaning_steps(target);
  steps.push_back(kAgain);
  steps.emplace_back("Still there: go on with the next target that the new scan names.");
  return steps;
}

}  // namespace

std::string answer_section(const Answer& answer, const Findings& findings) {
  std::string out = wrap("", answer.sentence);
  for (const std::size_t i : answer.targets)
    out += one_target(findings.targets[i], findings, answer.targets.size() > 1);
  if (answer.kind == AnswerKind::nothing_found || answer.kind == AnswerKind::other_causes)
    out += sight_of(findings);
  return out;
}

std::string cautions_section(const Answer& answer) {
  if (!may_open_machine(answer)) return {};
  std::string out = "CAUTION: before a cover comes off\n";
  for (const auto line : cautions()) out += wrap("  ! ", line);
  return out;
}

std::string steps_section(const Answer& answer, const Findings& findings) {
  std::string out = "What to do\n";
  std::size_t n = 0;
  for (const auto& step : steps_for(answer, findings)) out += wrap(fmt::format("  {}. ", ++n), step);
  return out;
}

}  // namespace scrapetrace::report
