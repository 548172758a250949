#include "cli/commands.h"
#include "cli/contents.h"
#include "cli/evidence.h"
#include "cli/html.h"
#include "cli/output.h"
#include "cli/place_flag.h"
#include "cli/read_scans.h"
#include "scrapetrace/recheck_scans.h"
#include "scrapetrace/report.h"

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

ExitStatus recheck_request(const RecheckRequest& request) {
  if (const auto problems = check_outputs(request.evidence); !problems.empty()) return refuse(problems);
  const auto machine = load_machine(request.evidence);
  if (!machine) return refuse(machine.problems());
  const auto cleaned = places_cleaned(request, machine->layout);
  if (!cleaned) return refuse(cleaned.problems());
  const auto origin = origin_of(request.evidence, numbered("before", request.before, "after", request.after));
  if (const auto problems = same_scans(origin); !problems.empty()) return refuse(problems);
  CaseBudget budget(request.evidence.reading.of_case);
  LocateOptions options = request.evidence.options;
  options.until = budget.until();
  options.thumbnails = !request.evidence.html.empty();
  const auto before = locate_to_go_on(request.evidence, *machine, options, request.before, budget);
  const auto after = locate_to_go_on(request.evidence, *machine, options, request.after, budget);
  const Chart* chart = machine->chart_given();
  const auto evidence = recheck_evidence(machine->layout, chart, before, after, *cleaned, options);
  const auto result = recheck(machine->layout, evidence, *cleaned, request.options);
  const report::RecheckStory story{machine->layout, evidence, *cleaned,
                                   request.options, result,   request.evidence.unit};
  Reports reports;
  reports.text = report::recheck_text(story) + report::origin_text(origin);
  reports.json = report::recheck_json(story, origin);
  if (!request.evidence.html.empty()) {
    reports.html =
        report::recheck_html(story, chart, before, after, options, provenance_of(request.evidence, origin));
  }
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
      "HEAD:SIDE[:SURFACE] [--html FILE|-] [--json FILE|-]",
      "Compares scans from before and after a cleaning: what became of each streak, what that says about "
      "the\n"
      "places to clean, and what to do next. See docs/recheck.md, and docs/safety.md before you open the "
      "machine.",
      "scrapetrace recheck --layout geometry/hobdrel.toml --chart geometry/charts/hobdrel_bands.toml "
      "--before monday.tif --after tuesday.tif --cleaned 3:left --html recheck.html");
  offer_machine(options, request.evidence);
  options.input_list("before", request.before, "SCAN...", "scans from before the cleaning");
  options.input_list("after", request.after, "SCAN...",
                     "scans from after it, in the order in which they were printed");
  options.list("cleaned", request.cleaned, "HEAD:SIDE[:SURFACE]...", "what was cleaned");
  options.value("success", request.options.success, "PART",
                "of cleanings that take the residue off (common practice, no source)");
  options.value("partial", request.options.partial, "PART",
                "of cleanings that take part of it off (common practice, no source)");
  offer_json(options, request.evidence);
  offer_html(options, request.evidence);
  offer_reading(options, request.evidence);
  offer_faint(options, request.evidence);
  options.writes_files();
  if (const auto status = options.parse(arguments)) return *status;
  note_command(options, request.evidence);
  if (const auto what = wrong_with(request); !what.empty()) return options.reject(what);
  return recheck_request(request);
}

}  // namespace scrapetrace::cli
