#include "cli/commands.h"
#include "cli/output.h"
#include "cli/triage_run.h"

namespace scrapetrace::cli {

namespace {

std::string wrong_with(TriageRequest& request) {
  if (auto what = wrong_with(request.evidence); !what.empty()) return what;
  if (request.input.size() != 1)
    return "name one folder, manifest file, or - for a manifest on standard input.";
  if (request.out.empty()) return "--out is missing: the folder for the results.";
  if (request.jobs < 1 || request.jobs > 256) return "--jobs must lie between 1 and 256.";
  return {};
}

}  // namespace

ExitStatus run_triage(const Arguments& arguments) {
  TriageRequest request;
  Options options(
      "triage --layout LAYOUT [--chart CHART] --out FOLDER [--jobs N] [--force] FOLDER|MANIFEST|-",
      "Judges many cases, the scans of one machine each, and puts the worst and surest first: "
      "FOLDER/cases.jsonl,\n"
      "FOLDER/overview.html and a report per case. A run that was stopped goes on where it was. See "
      "docs/triage.md.",
      "scrapetrace triage --layout geometry/hobdrel.toml --chart geometry/charts/hobdrel_bands.toml --out "
      "today "
      "inbox");
  offer_machine(options, request.evidence);
  options.value("out", request.out, "FOLDER", "for the results; is made if need be");
  options.value("jobs", request.jobs, "N", "cases at a time; the results do not depend on it");
  options.flag("force", request.force, "start over in a folder that holds something else");
  offer_reading(options, request.evidence);
  options.words("input", request.input, -1);
  if (const auto status = options.parse(arguments)) return *status;
  if (const auto what = wrong_with(request); !what.empty()) return options.reject(what);
  const auto status = triage(request);
  const auto traced = write_trace(request.evidence);
  return traced == ExitStatus::ok ? status : traced;
}

}  // namespace scrapetrace::cli
