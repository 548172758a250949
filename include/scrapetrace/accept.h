#pragma once
// Findings held against limits: pass, fail, or cannot judge, limit by limit.
//
// A value fails a limit when it exceeds it by `guard` standard deviations, passes when it stays below by as
// much, and cannot be judged in between. A streak that may be the scanner's own line (or a jet that may be
// something else) counts for certain above 0.95, is left out below 0.05, and in between can only keep a limit
// from passing. Scans that contradict each other (ScanIssue::other_sheet) show no one print: their verdict is
// `cannot_judge`, whatever the other limits say.

#include <cstddef>
#include <string>
#include <vector>

#include "scrapetrace/chart.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/jet_changes.h"
#include "scrapetrace/limits.h"

namespace scrapetrace {

enum class Verdict { pass, fail, cannot_judge };
const char* to_string(Verdict verdict);

enum class LimitKind {
  scans,
  mixed,
  sight,
  loss,
  width,
  number,
  visible,
  dead_jets,
  lost_jets,
  unchecked_sides
};
inline constexpr std::size_t kLimitKindCount = 10;
const char* to_string(LimitKind kind);  // as in the JSON: "streak.loss_max", "jets.dead_max_per_head", ...

struct LimitVerdict {
  LimitKind kind = LimitKind::scans;
  Verdict verdict = Verdict::pass;
  double limit = 0;
  double measured = 0;  // the worst; 0 when nothing counts
  double sigma = 0;
  // What decides: all that fail or cannot be judged; on a pass what comes nearest to the limit.
  std::vector<std::size_t> streaks;  // Streak::id
  std::vector<std::string> scans;    // files that show them (or could not be analysed)
  std::vector<std::string> places;   // heads or head sides, for jets and unchecked sides
};

struct Acceptance {
  Verdict verdict = Verdict::cannot_judge;  // as verdict_of()
  std::vector<LimitVerdict> limits;  // those set, in the order of LimitKind; `mixed` where several scans are
};

// Scans that the others contradict (ScanIssue::other_sheet): not of one machine in one state, it seems.
std::vector<const ScanReport*> contradicting(const Findings& findings);

// Mixed scans beat fail, which beats cannot judge, which beats pass.
Verdict verdict_of(const std::vector<LimitVerdict>& limits);

// `chart` may be null: streaks are then seen on solids of the inks that show them. `jets` is what became of
// the jets since the scans from before the work (jet_changes()); null: there are no such scans, and
// `limits.lost_max`, where set, cannot be judged.
Acceptance accept(const Layout& layout, const Chart* chart, const Findings& findings, const Limits& limits,
                  const std::vector<JetChange>* jets = nullptr);

}  // namespace scrapetrace
