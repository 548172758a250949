#pragma once
// One random case, rendered, read by locate() and judged; beside it the ideal reader (ideal_reader.h). A case
// is a pure function of (options, machines, index).

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "scrapetrace/chart.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::score {

struct ScoreMachine {
  std::string name;  // unique among the machines of a run
  Layout layout;
  Chart chart;
};

// residue:  loss per contact 0.15 to 0.9; low_loss: 0.02 to 0.12; faint: just about visible, for detection
//           only; cut: a streak that the print's edge cuts off
// evidence: loss 0.005 to 0.12, log-uniform; read from one sheet, and from more: see EvidenceRecord
// clean:    other causes only; dead_jet: one dead jet and nothing else
enum class CaseKind { residue, low_loss, faint, cut, evidence, clean, dead_jet };
inline constexpr std::size_t kCaseKindCount = 7;
const char* to_string(CaseKind kind);
std::optional<CaseKind> case_kind_from(const std::string& word);

struct ScoreOptions {
  std::uint64_t seed = 1;
  std::vector<CaseKind> kinds;                // empty: all of them, mixed
  std::vector<double> dpi = {300, 400, 600};  // scans are drawn from these
  double full_height = 0.2;                   // part of the cases on whole sheets; the others are shorter
  int sheets = 5;                             // where several are read, 2 to 20
  bool ideal = true;                          // run the ideal reader
};

// A position across, read beside the truth; drum mm.
struct PositionRecord {
  double error_mm = 0;         // of the middle of the residue
  double claimed_mm = 0;       // standard deviation that goes with the answer
  double bound_mm = 0;         // Cramer-Rao bound and columns, without registration
  double registration_mm = 0;  // standard deviation that the scan's registration claims
};

struct CauseRecord {
  Cause truth = Cause::unknown;
  std::optional<Cause> named;  // absent: no streak was found there
};

struct JetRecord {
  bool head = false;  // named rightly
  bool ink = false;
  bool jet = false;
};

// Probabilities per target from more than one sheet; kind `evidence` only.
struct EvidenceRecord {
  std::vector<double> several;  // that sheet and others of the same state
  std::vector<double> again;    // that sheet laid on the scanner twice
  std::vector<double> before;   // that sheet, and one from before the residue
};

// What one case came to. Targets are numbered by the layout's heads and, within each, its zones.
struct CaseRecord {
  int index = 0;
  CaseKind kind = CaseKind::residue;
  std::string machine;
  double dpi = 0;
  int jpeg_quality = 0;         // of the sheet that is read; 0: the pixels as they are
  std::string what;             // the case in one line
  bool analysed = false;        // locate could look at (every one of) its scans
  int truth = -1;               // the true target; -1: no residue
  double width_mm = 0;          // of the residue
  double loss = 0;              // per contact
  double d_prime = 0;           // of the matched filter that knows the noise and the streak's shape
  bool detected = false;        // some streak was found where the residue's is
  std::vector<double> located;  // by locate, from one sheet: its targets
  std::vector<double> traced;   // the same, its traces: of streaks that no eye sees
  double contrast = 0;          // of the true streak, as scrapetrace/sight.h has it
  std::vector<double> ideal;    // by the ideal reader, from the same sheet; empty: not asked
  std::optional<EvidenceRecord> evidence;
  std::optional<PositionRecord> position;
  std::optional<PositionRecord> ideal_position;
  std::vector<CauseRecord> causes;   // one per true cause
  std::vector<Cause> false_streaks;  // found where nothing is
  std::optional<JetRecord> jet;      // of a case with one dead jet and nothing else
};

CaseRecord score_case(const std::vector<ScoreMachine>& machines, const ScoreOptions& options, int index);

}  // namespace scrapetrace::score
