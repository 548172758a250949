#include "cli/judging.h"

#include "cli/contents.h"
#include "cli/html.h"
#include "cli/input.h"

namespace scrapetrace::cli {

Result<Judged> judge_scans(const EvidenceRequest& request, const Machine& machine,
                           const std::string& limits_file, const std::vector<std::string>& scans) {
  auto limits = load_limits(limits_file);
  if (!limits) return limits.problems();
  Judged out;
  out.limits = std::move(limits).value();
  auto files = numbered("scan", scans);
  files.insert(files.begin(), {"limits", limits_file});
  auto hashed = begin_origin(request, std::move(files));
  out.located = locate_scans(request, machine, read_scans(request, machine, scans));
  out.origin = hashed.get();
  if (auto problems = same_scans(out.origin); !problems.empty()) return problems;
  out.result = accept(machine.layout, machine.chart_given(), out.located.findings, out.limits);
  return out;
}

}  // namespace scrapetrace::cli
