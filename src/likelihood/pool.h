#pragma once
// The strips of one scan that show one ink across a window, averaged into the samples of a trace.

#include <vector>

#include "likelihood/scene.h"

namespace scrapetrace::diagnose {

inline constexpr int kFewestSamples = 12;  // of a trace

// Views and the samples [from, to) that all of them show. Without views: nothing to see.
struct Pool {
  std::vector<const profile::InkView*> views;
  int from = 0;
  int to = 0;
};

// A track over the whole length of a scan.
streak::Track all_strips(const profile::PreparedScan& scan);

// Leaves the views of one coverage only, that of which most ink shows: solids and tints of one ink answer to
// a loss with other curves, and their mean with none that a single coverage has.
void keep_one_coverage(const profile::PreparedScan& scan, std::vector<const profile::InkView*>& views);

// The views of one ink (paper for -1) among the strips of a track that show the window; lone inks before
// overprints, and of one coverage. A view that shows much less of the window than the best one is left out: a
// small patch may not cut the others short.
Pool pool_views(const profile::PreparedScan& scan, const streak::Track& track, int ink, Interval window_mm);

// What a sample of a pool's mean sees: blurred by the root mean square of its patches' blurs.
PointSpread pool_spread(const profile::PreparedScan& scan, const Pool& pool);

// The same of all strips of a scan alike.
PointSpread mean_spread(const profile::PreparedScan& scan);

// Fills the trace's x_mm, value, base and blind from a pool: mean by rows, bridged samples only where there
// is nothing else.
void average(const profile::PreparedScan& scan, const Pool& pool, Trace& trace);

}  // namespace scrapetrace::diagnose
