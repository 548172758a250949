#pragma once
// Where across the drum the jets' pattern lies on a scan, and whether it is the layout's at all.

#include <optional>

#include "geometry/machine.h"
#include "jets/jet_match.h"

namespace scrapetrace::jets {

// A place that the scan shows well, whatever its scale.
struct Anchor {
  double x_mm = 0;
  double sigma_mm = 0;
};

struct PatternOptions {
  double sigma_mm = 0.05;        // how far off the scan's place may be (standard deviation)
  double stretch = 0;            // how far off its scale may be at most, relative
  std::optional<Anchor> anchor;  // absent: the middle of the scan, sigma_mm
  double part_mm = 30;           // of the drum on which a bent scan is still straight
  bool bent = false;             // only the parts are straight, each with a stretch of its own
  double part_stretch = 0.004;   // of a part of a bent scan at most, relative
  double shown = 2;              // mean square of a pattern, in units of its noise, that is one,
  double clear = 5;              // and that stands out
  // Of a pattern, what is left over at its best place against elsewhere:
  double recognised = 0.75;        // below: it is the layout's
  double in_part = 0.60;           // above: a part of the heads stands elsewhere
  double contradicted = 0.85;      // above: no place is better than another,
  double part_contradicted = 0.7;  // nor on single parts: not the layout's
  int threads = 1;                 // the pattern does not depend on it
};

// unexplained: a pattern shows, and neither is it the layout's nor is that ruled out.
enum class PatternVerdict { recognised, in_part, contradicted, unexplained, unseen };

struct Pattern {
  PatternVerdict verdict = PatternVerdict::unseen;
  Trial place;               // where the pattern lies, when recognised,
  double middle_mm = 0;      // and the drum X about which it is stretched
  double sigma_mm = 0;       // of its place in the middle of the scan,
  double sigma_stretch = 0;  // and of its stretch
  double elsewhere = 0;      // what is left over with the heads off by parts of a pitch, in units of noise
  double left_over = 0;      // what is left over at the best place
  double part_ratio = 1;  // left over at the best place against elsewhere, each part placed by itself (mean)
  double log_evidence =
      0;                 // there: of jets (tempered by what is left over), seams and the prior of the shift
  double next_best = 0;  // the same at the best place a pitch or more away
};

Pattern find_pattern(const JetData& data, const geometry::Machine& machine, const PatternOptions& options);

}  // namespace scrapetrace::jets
