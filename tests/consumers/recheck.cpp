// Scans from before and after a cleaning: the streak is gone, and the reports say so.
#include "bench.h"
#include "scrapetrace/recheck_scans.h"
#include "scrapetrace/report.h"

int main(int, char** argv) {
  using namespace scrapetrace;
  const Bench read = bench(argv[1]);
  const auto before = locate_and_keep(read.layout, &read.chart, {page_of(read, scraped(read), 7)}, {});
  check(!before.result.findings.targets.empty(), "there is something to clean");
  const Target& first = before.result.findings.targets.front();
  const std::vector<Cleaned> cleaned{{first.head, first.side, ""}};
  const auto done = recheck_scans(read.layout, &read.chart, before.scans, {page_of(read, {}, 8)}, cleaned);
  check(done.result.count(Change::gone) == 1 && done.result.next == NextStep::close, "the streak is gone");
  const RecheckOptions options;
  const report::RecheckStory story{read.layout, done.evidence, cleaned, options, done.result};
  check(report::recheck_text(story).find("gone") != std::string::npos, "the text says so");
  check(report::recheck_json(story, {"1.0", {}}).find("\"scrapetrace.recheck/1\"") != std::string::npos,
        "the JSON names its schema");
  check(
      report::recheck_html(story, &read.chart, done.before, done.after, {}).find("data:image/png;base64,") !=
          std::string::npos,
      "the page shows the streak's place");
}
