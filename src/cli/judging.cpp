#include "cli/judging.h"

#include "cli/contents.h"
#include "cli/html.h"
#include "cli/input.h"
#include "scrapetrace/recheck.h"

namespace scrapetrace::cli {

namespace {

std::vector<JetChange> jets_since(const EvidenceRequest& request, const Machine& machine,
                                  const std::vector<ScanInput>& before, const std::vector<ScanInput>& scans,
                                  const Findings& findings) {
  const Layout& layout = machine.layout;
  const Chart* chart = machine.chart_given();
  std::vector<Place> places;
  for (const auto& streak : findings.streaks) places.push_back(place_of(layout, streak));
  const Findings then = locate(layout, chart, before, request.options).findings;
  return jet_changes(layout, then, findings,
                     {measure_places(layout, chart, before, places, request.options),
                      measure_places(layout, chart, scans, places, request.options)});
}

}  // namespace

Result<Judged> judge_scans(const EvidenceRequest& request, const Machine& machine, const JudgingFiles& files) {
  auto limits = load_limits(files.limits);
  if (!limits) return limits.problems();
  Judged out;
  out.limits = std::move(limits).value();
  auto named = numbered("scan", files.scans, "before", files.before);
  named.insert(named.begin(), {"limits", files.limits});
  auto hashed = begin_origin(request, std::move(named));
  auto scans = read_scans(request, machine, files.scans);
  if (files.before.empty()) {
    out.located = locate_scans(request, machine, std::move(scans));
  } else {
    out.located = locate_scans(request, machine, scans);
    const auto before = read_scans(request, machine, files.before);
    out.jets = jets_since(request, machine, before, scans, out.located.findings);
    if (!out.limits.lost_max) out.limits.lost_max = 0;
  }
  out.origin = hashed.get();
  if (auto problems = same_scans(out.origin); !problems.empty()) return problems;
  out.result = accept(machine.layout, machine.chart_given(), out.located.findings, out.limits,
                      out.jets ? &*out.jets : nullptr);
  return out;
}

}  // namespace scrapetrace::cli
