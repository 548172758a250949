#pragma once
// Before and after work on a machine, from scans: what recheck(), jet_changes() and accept() weigh, put
// together.

#include <vector>

#include "scrapetrace/accept.h"
#include "scrapetrace/located_scans.h"
#include "scrapetrace/recheck.h"

namespace scrapetrace {

// What recheck() weighs: how much ink is missing at the place of each streak on all scans of both, and what
// the scans after show on bare paper in reach of the cleaned places. `options` are those of the findings.
RecheckEvidence recheck_evidence(const Layout& layout, const Chart* chart, const LocatedScans& before,
                                 const LocatedScans& after, const std::vector<Cleaned>& cleaned,
                                 const LocateOptions& options);

struct RecheckedScans {
  LocatedScans before;
  LocatedScans after;
  RecheckEvidence evidence;
  Recheck result;
};

// The whole way from scans: locate() before and after, recheck_evidence(), recheck(). `after` in the order in
// which they were printed. Never fails as a whole: what the scans could not show is could_not_look.
RecheckedScans recheck_scans(const Layout& layout, const Chart* chart, std::vector<ScanInput> before,
                             std::vector<ScanInput> after, const std::vector<Cleaned>& cleaned,
                             const LocateOptions& locate_options = {}, const RecheckOptions& options = {});

// Where each change's streak was, or is when it is new: one per change, for view_places().
std::vector<Place> places_of(const Layout& layout, const RecheckEvidence& evidence, const Recheck& result);

// A verdict on `now` that also holds the jets against scans from before the work.
struct AcceptanceSince {
  Limits limits;  // as judged
  std::vector<JetChange> jets;
  Acceptance result;
};

// Jets lost since are judged in any case: limits that do not say how many may be allow none.
AcceptanceSince accept_since(const Layout& layout, const Chart* chart, const LocatedScans& before,
                             const LocatedScans& now, const Limits& limits, const LocateOptions& options);

}  // namespace scrapetrace
