#pragma once
// One random case: what is wrong with the machine, and how its sheets were printed and scanned.

#include <optional>
#include <string>
#include <vector>

#include "score/case_record.h"
#include "scrapetrace/causes.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::score {

struct Sheet {
  PrintOptions print;
  ScanOptions scan;
  int jpeg_quality = 0;  // 0: the pixels as they are
};

struct Case {
  int index = 0;
  CaseKind kind = CaseKind::residue;
  const ScoreMachine* machine = nullptr;
  Chart chart;    // the machine's, perhaps shortened
  Causes causes;  // at most one residue; it bears its target's head, side and surface
  int truth = -1;
  // The sheet that is read; for kind `evidence` others of the same state after it.
  std::vector<Sheet> sheets;
  // For kind `evidence`: the first sheet laid anew, and one from before the residue.
  std::optional<Sheet> again;
  std::optional<Sheet> before;
  Causes causes_before;
  [[nodiscard]] const Residue* residue() const {
    return causes.residues.empty() ? nullptr : &causes.residues.front();
  }
};

// The case of an index. Machines take turns.
Case draw_case(const std::vector<ScoreMachine>& machines, const ScoreOptions& options, int index);

// One line of everything that was drawn.
std::string describe(const Case& drawn);

// The chart on a shorter sheet: patches keep a fraction of their length, gaps and small marks keep all.
Chart shortened(const Chart& chart, double fraction);

// Drum interval that the residue touches in any pass.
Interval touched_drum(const Layout& layout, const Residue& residue);
// Drum interval under the chart's patches.
Interval printed_drum(const Layout& layout, const Chart& chart);

// Whether a residue whose streak lies there is drawn for a case of this kind.
bool may_be_drawn(CaseKind kind, Interval touched, Interval printed);

}  // namespace scrapetrace::score
