#include "cli/judging.h"

#include "cli/contents.h"
#include "cli/html.h"
#include "cli/input.h"
#include "cli/read_scans.h"

namespace scrapetrace::cli {

Result<Judged> judge_scans(const EvidenceRequest& request, const Machine& machine,
                           const std::string& limits_file, const std::vector<std::string>& scans) {
  auto limits = load_limits(limits_file);
  if (!limits) return limits.problems();
  Judged out;
  out.limits = std::move(limits).value();
  auto files = numbered("scan", scans);
  files.insert(files.begin(), {"limits", limits_file});
  Hashes hashes(request, std::move(files));
  if (auto problems = hashes.copies_so_far(); !problems.empty()) return problems;
  out.located = locate_files(request, machine, scans);
  out.origin = hashes.origin();
  if (auto problems = same_scans(out.origin); !problems.empty()) return problems;
  out.result = accept(machine.layout, machine.chart_given(), out.located.findings, out.limits);
  return out;
}

}  // namespace scrapetrace::cli
