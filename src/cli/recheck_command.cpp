#include <fmt/format.h>

#include "cli/commands.h"
#include "cli/evidence.h"
#include "cli/output.h"
#include "cli/place_flag.h"
#include "report/recheck_report.h"
#include "scrapetrace/recheck.h"

namespace scrapetrace::cli {

namespace {

struct RecheckRequest {
  EvidenceRequest evidence;
  std::vector<std::string> before;
  std::vector<std::string> after;
  std::vector<std::string> cleaned;
  RecheckOptions options;
};

std::string wrong_with(RecheckRequest& request) {
  if (auto what = wrong_with(request.evidence); !what.empty()) return what;
  if (request.before.empty()) return "--before is missing: the scans from before the cleaning.";
  if (request.after.empty()) return "--after is missing: the scans from after the cleaning.";
  auto all = request.before;
  all.insert(all.end(), request.after.begin(), request.after.end());
  if (auto what = wrong_with_scans(all); !what.empty()) return what;
  if (request.cleaned.empty()) return "--cleaned is missing: what was cleaned, as HEAD:SIDE.";
  const auto& o = request.options;
  if (!(o.success > 0 && o.partial >= 0 && o.success + o.partial < 1))
    return "--success must be above 0, and less than 1 together with --partial.";
  return {};
}

Result<std::vector<Cleaned>> places_cleaned(const RecheckRequest& request, const Layout& layout) {
  std::vector<Cleaned> places;
  Problems problems;
  for (const auto& flag : request.cleaned) {
    auto place = cleaned_from_flag("cleaned", flag, layout);
    if (place) {
      places.push_back(std::move(place).value());
    } else {
      problems.insert(problems.end(), place.problems().begin(), place.problems().end());
    }
  }
  if (!problems.empty()) return problems;
  return places;
}

RecheckEvidence weigh(const RecheckRequest& request, const Machine& machine,
                      const std::vector<Cleaned>& cleaned) {
  const Layout& layout = machine.layout;
  const auto& options = request.evidence.options;
  const auto before = read_scans(request.evidence, machine, request.before);
  const auto after = read_scans(request.evidence, machine, request.after);
  RecheckEvidence evidence;
  evidence.before = locate(layout, machine.chart_given(), before, options).findings;
  evidence.after = locate(layout, machine.chart_given(), after, options).findings;
  const auto measure = [&](const std::vector<ScanInput>& scans, const std::vector<Place>& places) {
    return measure_places(layout, machine.chart_given(), scans, places, options);
  };
  const auto read = [&](const Findings& findings) {
    std::vector<Place> places;
    for (const auto& streak : findings.streaks) places.push_back(place_of(layout, streak));
    return StreakReadings{measure(before, places), measure(after, places)};
  };
  evidence.of_before = read(evidence.before);
  evidence.of_after = read(evidence.after);
  evidence.white_after = measure(after, white_places(layout, cleaned));
  return evidence;
}

ExitStatus recheck_request(const RecheckRequest& request) {
  if (const auto problems = check_outputs(request.evidence); !problems.empty()) return refuse(problems);
  const auto machine = load_machine(request.evidence);
  if (!machine) return refuse(machine.problems());
  const auto cleaned = places_cleaned(request, machine->layout);
  if (!cleaned) return refuse(cleaned.problems());
  const auto evidence = weigh(request, *machine, *cleaned);
  const auto result = recheck(machine->layout, evidence, *cleaned, request.options);
  const report::RecheckStory story{machine->layout, evidence, *cleaned, request.options, result};
  Reports reports;
  reports.text = report::recheck_text(story);
  reports.json = report::recheck_json(story, SCRAPETRACE_VERSION);
  if (const auto status = deliver(request.evidence, reports); status != ExitStatus::ok) return status;
  auto scans = evidence.before.scans;
  scans.insert(scans.end(), evidence.after.scans.begin(), evidence.after.scans.end());
  return status_of(scans);
}

}  // namespace

ExitStatus run_recheck(const Arguments& arguments) {
  RecheckRequest request;
  Options options(
      "recheck --layout LAYOUT [--chart CHART] --before SCAN... --after SCAN... --cleaned "
      "HEAD:SIDE[:SURFACE]",
      "Compares scans from before and after a cleaning: what became of each streak, what that says about "
      "the\n"
      "places to clean, and what to do next. See docs/recheck.md, and docs/safety.md before you open the "
      "machine.",
      "scrapetrace recheck --layout geometry/hobdrel.toml --chart geometry/charts/hobdrel_bands.toml "
      "--before monday.tif --after tuesday.tif --cleaned 3:left");
  offer_machine(options, request.evidence);
  options.list("before", request.before, "SCAN...", "scans from before the cleaning");
  options.list("after", request.after, "SCAN...",
               "scans from after it, in the order in which they were printed");
  options.list("cleaned", request.cleaned, "HEAD:SIDE[:SURFACE]...", "what was cleaned");
  options.value("success", request.options.success, "PART",
                "of cleanings that take the residue off (common practice, no source)");
  options.value("partial", request.options.partial, "PART",
                "of cleanings that take part of it off (common practice, no source)");
  offer_json(options, request.evidence);
  offer_reading(options, request.evidence);
  if (const auto status = options.parse(arguments)) return *status;
  if (const auto what = wrong_with(request); !what.empty()) return options.reject(what);
  return recheck_request(request);
}

}  // namespace scrapetrace::cli
