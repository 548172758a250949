// Answer, cautions and steps.

#include <fmt/format.h>

#include <algorithm>

#include "report/phrases.h"
#include "report/steps.h"
#include "report/text_sections.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

std::string rests_on(const Target& target, const Findings& findings, LengthUnit unit) {
  if (target.streaks.empty()) return {};
  std::string out = wrap("  ", fmt::format("It rests on {}:", streak_numbers(target.streaks)));
  for (const Streak& streak : findings.streaks) {
    if (std::find(target.streaks.begin(), target.streaks.end(), streak.id) == target.streaks.end()) continue;
    out +=
        wrap("    - ", fmt::format("streak {} at {}, {} wide, {} of the ink missing, residue {}", streak.id,
                                   length(streak.x_sheet_mm, 1, unit), length(streak.width_mm, 1, unit),
                                   percent(streak.loss), percent(streak.causes[0])));
  }
  return out;
}

std::string rival_lines(const Target& target, LengthUnit unit) {
  if (target.rivals.empty()) return wrap("  ", "Rivals: none worth naming.");
  std::string out;
  for (const Rival& rival : target.rivals) {
    out += wrap("  Rival: ",
                fmt::format("{} ({}). {}", place_name(rival.head, rival.side, rival.surface),
                            percent(rival.probability), sentence_in(printable(rival.tell_apart), unit)));
  }
  return out;
}

std::string one_target(const Target& target, const Findings& findings, bool named, LengthUnit unit) {
  std::string out;
  if (named) out += wrap("", fmt::format("{}:", place_name(target.head, target.side, target.surface)));
  out += wrap("  ", fmt::format("Where: {} (+-{}).", where_on_head(target, unit),
                                length(target.x_sigma_mm, 2, unit)));
  out += wrap("  ", fmt::format("On the print: {}.", where_on_print(target, findings, unit)));
  out += wrap("  ", fmt::format("On the drum: {}.", where_on_drum(target, unit)));
  return out + rests_on(target, findings, unit) + rival_lines(target, unit);
}

}  // namespace

std::string answer_section(const Answer& answer, const Findings& findings, LengthUnit unit) {
  std::string out = wrap("", answer.sentence);
  for (const std::size_t i : answer.targets)
    out += one_target(findings.targets[i], findings, answer.targets.size() > 1, unit);
  if (answer.kind == AnswerKind::nothing_found || answer.kind == AnswerKind::too_faint ||
      answer.kind == AnswerKind::other_causes)
    out += wrap("  ", sight_of(findings, unit));
  return out;
}

std::string cautions_section(const Answer& answer) {
  if (!may_open_machine(answer)) return {};
  return cautions_text();
}

std::string steps_section(const Answer& answer, const Findings& findings, LengthUnit unit) {
  std::string out = "What to do\n";
  std::size_t n = 0;
  for (const auto& step : steps_for(answer, findings, unit)) out += wrap(fmt::format("  {}. ", ++n), step);
  return out;
}

}  // namespace scrapetrace::report
