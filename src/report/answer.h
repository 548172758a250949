#pragma once
// The one-line answer that every report opens with.

#include <string>
#include <vector>

#include "scrapetrace/findings.h"

namespace scrapetrace::report {

enum class AnswerKind {
  could_not_look,  // no scan could be analysed, or almost nothing of the machine shows
  nothing_found,   // examined, no streak
  too_faint,       // streaks, none visible to the eye
  other_causes,    // streaks, none that points at a target
  choose,          // targets, none likelier than 50 %
  clean,           // a target likelier than 50 %
};
const char* to_string(AnswerKind kind);

struct Answer {
  AnswerKind kind = AnswerKind::could_not_look;
  std::string sentence;              // printable
  std::vector<std::size_t> targets;  // indices of the targets named, in order of work
};

Answer answer(const Findings& findings);

// False when the answer gives no reason to open the machine.
bool may_open_machine(const Answer& answer);

// Whether a streak looks like a contact that the layout does not explain; another print would show the same.
bool beyond_layout(const Findings& findings);

// True when the likeliest cause is neither residue nor unknown.
bool is_other(const Streak& streak);

// Targets of different streaks are separate jobs; targets that share a streak are alternatives.
bool shares_streak(const Target& a, const Target& b);

}  // namespace scrapetrace::report
