#pragma once
// The one-line answer that every report opens with.

#include <string>
#include <vector>

#include "scrapetrace/findings.h"

namespace scrapetrace::report {

enum class AnswerKind {
  could_not_look,  // no scan could be analysed, or next to nothing of the machine shows on them
  nothing_found,   // looked, and saw no streak
  too_faint,       // streaks, but none that an eye sees
  other_causes,    // streaks, but none that points at a target
  choose,          // targets, none of them likelier than not
  clean,           // a target that is likelier than not
};
const char* to_string(AnswerKind kind);

struct Answer {
  AnswerKind kind = AnswerKind::could_not_look;
  std::string sentence;              // printable
  std::vector<std::size_t> targets;  // indices of the targets it names, in order of work
};

Answer answer(const Findings& findings);

// False when the answer gives no reason to take a cover off.
bool may_open_machine(const Answer& answer);

// Whether any streak looks like a contact that the layout does not explain: another print would show the
// same.
bool beyond_layout(const Findings& findings);

// Streaks whose likeliest cause is neither residue nor unknown.
bool is_other(const Streak& streak);

// Targets that stand for different streaks are separate jobs; those that share one are rivals for it.
bool shares_streak(const Target& a, const Target& b);

}  // namespace scrapetrace::report
