#pragma once
// What many scored cases come to. Intervals are of 95 %.

#include <array>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "score/case_record.h"

namespace scrapetrace::score {

// A mean or a share, how many cases it is of, and its interval.
struct Estimate {
  int cases = 0;
  double value = 0;
  double low = 0;
  double high = 0;
};

// Among k first; ties count in part, as if their order were drawn.
struct RankRow {
  std::string name;  // a machine's, or "all", "low_loss", ...
  Estimate first;
  Estimate among_two;
  Estimate ideal_first;
  Estimate ideal_among_two;
  // Mean of the ideal reader's P(its best) - P(locate's best): ideal_first - first without the luck of which
  // of two likely targets was true.
  Estimate given_away;
};

struct DetectionBin {
  double d_prime = 0;  // geometric mean
  Estimate found;
  double bound = 0;  // of the matched filter that searches a page with known noise for any place and width
};

struct DetectionRow {
  std::string widths;
  std::vector<DetectionBin> bins;
  int cases = 0;
  double at_90 = 0;        // d' that is found in 90 of 100, by a probit fit; 0: too few cases
  double bound_at_90 = 0;  // the same for the matched filter
  std::vector<std::pair<double, double>> bound;  // d' and the matched filter's share, for a curve
};

struct PositionSummary {
  int cases = 0;  // not cut, and with a bound below 0.5 mm
  double rms_error_mm = 0;
  double rms_claimed_mm = 0;
  double rms_bound_mm = 0;  // Cramer-Rao, columns and registration
};

struct ReliabilityBin {
  int targets = 0;
  double probability = 0;  // mean
  Estimate right;
};

// Brier score and its parts (Murphy 1973) over bins of equal mass, and the expected calibration error.
struct Calibration {
  std::vector<ReliabilityBin> bins;
  double reliability = 0;
  double resolution = 0;
  double uncertainty = 0;
  double calibration_error = 0;
  // That error by chance, when every claim is true to its probability: mean, and the level that 95 of 100
  // such sets stay below.
  double chance_error = 0;
  double chance_error_95 = 0;
};

struct BeliefSummary {
  Estimate brier;     // per case: sum over targets of (probability - truth)^2
  Estimate log_loss;  // nats; -log of the true target's probability, at most -log(1e-4)
  Calibration named;  // all targets given at least 0.01
  Calibration best;   // the first target of each case
};

// The same cases read with more to go by. Log loss as in BeliefSummary.
struct EvidenceRow {
  std::string name;
  Estimate first;       // right target first
  Estimate log_loss;    // nats
  Estimate gain;        // log loss of one sheet less this one, case by case; above 0: more evidence helps
  Estimate first_gain;  // part of the cases right first here less that with one sheet, case by case
};

// Scrapes that an eye sees, or does not, and what became of them.
struct SightRow {
  std::string name;
  Estimate first;      // the right target first among the targets
  Estimate traced;     // the right one first among the traces
  Estimate no_target;  // no target above one half: nobody was sent to the machine
};

struct ScoreSummary {
  int cases = 0;
  int not_analysed = 0;
  // Targets and traces together, by head, side and surface: machines, all, and kinds of cases.
  std::vector<RankRow> targets;
  std::vector<RankRow> sides;  // by head and side
  BeliefSummary located;
  BeliefSummary ideal;
  std::vector<DetectionRow> detection;
  PositionSummary position;
  PositionSummary ideal_position;
  // [true cause][named cause, or kCauseCount for none]
  std::array<std::array<int, kCauseCount + 1>, kCauseCount> causes{};
  std::array<int, kCauseCount> false_streaks{};  // by the cause they were given
  std::vector<SightRow> sight;                   // targets and traces apart
  Estimate false_targets;                        // clean pages with a target above one half
  Estimate false_traces;                         // the same with a trace
  Estimate jet_head, jet_ink, jet_all;           // one dead jet, 400 dpi or finer
  Estimate residue_as_jet, jet_as_residue;
  std::vector<EvidenceRow> evidence;  // one sheet first; empty: no cases of that kind
};

// `bootstrap_seed` draws the resamples behind the intervals of means (1000 of them).
ScoreSummary summarise(const std::vector<ScoreMachine>& machines, const std::vector<CaseRecord>& records,
                       std::uint64_t bootstrap_seed);

}  // namespace scrapetrace::score
