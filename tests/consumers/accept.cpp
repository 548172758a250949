// Findings held against limits: a clean sheet passes, a scraped one fails.
#include "bench.h"
#include "scrapetrace/recheck_scans.h"
#include "scrapetrace/report.h"

int main(int, char** argv) {
  using namespace scrapetrace;
  const Bench read = bench(argv[1]);
  const Limits limits = value(layout::read_limits(
      "schema = \"scrapetrace.limits/1\"\nname = \"no streak\"\n[streak]\nnumber_max = 0\n", "limits.toml"));
  const auto clean = locate_and_keep(read.layout, &read.chart, {page_of(read, {}, 8)}, {});
  const auto scratched = locate_and_keep(read.layout, &read.chart, {page_of(read, scraped(read), 7)}, {});
  const auto verdict = [&](const LocatedScans& scans) {
    return accept(read.layout, &read.chart, scans.result.findings, limits);
  };
  check(verdict(clean).verdict == Verdict::pass, "a clean sheet passes");
  const Acceptance failed = verdict(scratched);
  check(failed.verdict == Verdict::fail, "a scraped one fails");
  const report::AcceptStory story{read.layout, scratched.result.findings, limits, failed};
  check(report::accept_text(story).rfind("Fail", 0) == 0, "the text says so");
  check(report::accept_json(story, {"1.0", {}}).find("\"fail\"") != std::string::npos, "and the JSON");
  check(report::accept_html(story, &read.chart, scratched.result).find("Fail") != std::string::npos,
        "and the page");
  const auto since = accept_since(read.layout, &read.chart, scratched, clean, limits, {});
  check(since.jets.empty() && since.limits.lost_max == 0, "no jet was lost, and none may be");
}
