#include "scrapetrace/recheck_scans.h"

#include <utility>

#include "scrapetrace/measure.h"

namespace scrapetrace {

namespace {

std::vector<Place> streak_places(const Layout& layout, const Findings& findings) {
  std::vector<Place> places;
  for (const auto& streak : findings.streaks) places.push_back(place_of(layout, streak));
  return places;
}

}  // namespace

RecheckEvidence recheck_evidence(const Layout& layout, const Chart* chart, const LocatedScans& before,
                                 const LocatedScans& after, const std::vector<Cleaned>& cleaned,
                                 const LocateOptions& options) {
  const auto measure = [&](const LocatedScans& on, const std::vector<Place>& places) {
    return measure_places(layout, chart, on.scans, places, options);
  };
  const auto read = [&](const Findings& findings) {
    const auto places = streak_places(layout, findings);
    return StreakReadings{measure(before, places), measure(after, places)};
  };
  RecheckEvidence evidence;
  evidence.before = before.result.findings;
  evidence.after = after.result.findings;
  evidence.of_before = read(evidence.before);
  evidence.of_after = read(evidence.after);
  evidence.white_after = measure(after, white_places(layout, cleaned));
  return evidence;
}

RecheckedScans recheck_scans(const Layout& layout, const Chart* chart, std::vector<ScanInput> before,
                             std::vector<ScanInput> after, const std::vector<Cleaned>& cleaned,
                             const LocateOptions& locate_options, const RecheckOptions& options) {
  RecheckedScans out;
  out.before = locate_and_keep(layout, chart, std::move(before), locate_options);
  out.after = locate_and_keep(layout, chart, std::move(after), locate_options);
  out.evidence = recheck_evidence(layout, chart, out.before, out.after, cleaned, locate_options);
  out.result = recheck(layout, out.evidence, cleaned, options);
  return out;
}

std::vector<Place> places_of(const Layout& layout, const RecheckEvidence& evidence, const Recheck& result) {
  std::vector<Place> places;
  for (const auto& change : result.changes) {
    const auto& findings = change.before ? evidence.before : evidence.after;
    const std::size_t id = change.before ? *change.before : change.after.value_or(0);
    for (const auto& streak : findings.streaks) {
      if (streak.id == id) places.push_back(place_of(layout, streak));
    }
  }
  return places;
}

AcceptanceSince accept_since(const Layout& layout, const Chart* chart, const LocatedScans& before,
                             const LocatedScans& now, const Limits& limits, const LocateOptions& options) {
  const Findings& findings = now.result.findings;
  const auto places = streak_places(layout, findings);
  AcceptanceSince out{limits, {}, {}};
  if (!out.limits.lost_max) out.limits.lost_max = 0;
  out.jets = jet_changes(layout, before.result.findings, findings,
                         {measure_places(layout, chart, before.scans, places, options),
                          measure_places(layout, chart, now.scans, places, options)});
  out.result = accept(layout, chart, findings, out.limits, &out.jets);
  return out;
}

}  // namespace scrapetrace
