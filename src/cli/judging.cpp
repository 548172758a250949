#include "cli/judging.h"

#include "cli/contents.h"
#include "cli/html.h"
#include "cli/input.h"
#include "cli/read_scans.h"
#include "scrapetrace/recheck.h"

namespace scrapetrace::cli {

namespace {

// The findings, and the jets lost since the earlier scans.
void locate_since(const EvidenceRequest& request, const Machine& machine, const JudgingFiles& files,
                  Judged& out) {
  const Layout& layout = machine.layout;
  const Chart* chart = machine.chart_given();
  CaseBudget budget(request.reading.of_case);
  LocateOptions options = request.options;
  options.until = budget.until();
  const auto before = locate_to_go_on(request, machine, options, files.before, budget);
  options.thumbnails = !request.picture.empty() || !request.html.empty();
  options.evidence = !request.html.empty();
  auto now = locate_to_go_on(request, machine, options, files.scans, budget);
  out.located = std::move(now.result);
  const Findings& findings = out.located.findings;
  std::vector<Place> places;
  for (const auto& streak : findings.streaks) places.push_back(place_of(layout, streak));
  out.jets = jet_changes(layout, before.result.findings, findings,
                         {measure_places(layout, chart, before.scans, places, options),
                          measure_places(layout, chart, now.scans, places, options)});
}

}  // namespace

Result<Judged> judge_scans(const EvidenceRequest& request, const Machine& machine,
                           const JudgingFiles& files) {
  auto limits = load_limits(files.limits);
  if (!limits) return limits.problems();
  Judged out;
  out.limits = std::move(limits).value();
  auto named = numbered("scan", files.scans, "before", files.before);
  named.insert(named.begin(), {"limits", files.limits});
  Hashes hashes(request, std::move(named));
  if (auto problems = hashes.copies_so_far(); !problems.empty()) return problems;
  if (files.before.empty()) {
    out.located = locate_files(request, machine, files.scans);
  } else {
    locate_since(request, machine, files, out);
    if (!out.limits.lost_max) out.limits.lost_max = 0;
  }
  out.origin = hashes.origin();
  if (auto problems = same_scans(out.origin); !problems.empty()) return problems;
  out.result = accept(machine.layout, machine.chart_given(), out.located.findings, out.limits,
                      out.jets ? &*out.jets : nullptr);
  return out;
}

}  // namespace scrapetrace::cli
