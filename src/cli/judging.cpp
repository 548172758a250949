#include "cli/judging.h"

#include "cli/contents.h"
#include "cli/html.h"
#include "cli/input.h"
#include "cli/read_scans.h"
#include "scrapetrace/recheck_scans.h"

namespace scrapetrace::cli {

namespace {

// The findings, the jets since the scans from before, and the verdict on both.
void locate_since(const EvidenceRequest& request, const Machine& machine, const JudgingFiles& files,
                  Judged& out) {
  CaseBudget budget(request.reading.of_case);
  LocateOptions options = request.options;
  options.until = budget.until();
  const auto before = locate_to_go_on(request, machine, options, files.before, budget);
  options.thumbnails = !request.picture.empty() || !request.html.empty();
  options.evidence = !request.html.empty();
  auto now = locate_to_go_on(request, machine, options, files.scans, budget);
  auto since = accept_since(machine.layout, machine.chart_given(), before, now, out.limits, options);
  out.limits = std::move(since.limits);
  out.jets = std::move(since.jets);
  out.result = std::move(since.result);
  out.located = std::move(now.result);
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
    out.result = accept(machine.layout, machine.chart_given(), out.located.findings, out.limits);
  } else {
    locate_since(request, machine, files, out);
  }
  out.origin = hashes.origin();
  if (auto problems = same_scans(out.origin); !problems.empty()) return problems;
  return out;
}

}  // namespace scrapetrace::cli
