#include "cli/commands.h"
#include "cli/output.h"
#include "cli/triage_run.h"

namespace scrapetrace::cli {

namespace {

std::string wrong_with(TriageRequest& request, const std::string& shard) {
  if (auto what = wrong_with(request.evidence); !what.empty()) return what;
  if (request.merge && !shard.empty()) return "--merge takes all shards: leave out --shard.";
  if (request.merge && request.input.empty()) return "name the shards' folders to merge.";
  if (!shard.empty()) {
    const auto read = triage::shard_of(shard);
    if (!read) return "--shard takes I/N, such as 3/8: the third of eight, at most 100000.";
    request.shard = *read;
  }
  if (!request.merge && request.input.size() != 1)
    return "name one folder, manifest file, or - for a manifest on standard input.";
  if (request.out.empty()) return "--out is missing: the folder for the results.";
  if (request.jobs < 1 || request.jobs > 256) return "--jobs must lie between 1 and 256.";
  return {};
}

}  // namespace

ExitStatus run_triage(const Arguments& arguments) {
  TriageRequest request;
  std::string shard;
  Options options(
      "triage --layout LAYOUT [--chart CHART] --out FOLDER [--jobs N] [--shard I/N] [--force] "
      "FOLDER|MANIFEST|-\n"
      "       scrapetrace triage --merge --layout LAYOUT [--chart CHART] --out FOLDER SHARD...",
      "Judges many cases, the scans of one machine each, and puts the worst and surest first: "
      "FOLDER/cases.jsonl,\n"
      "FOLDER/overview.html and a report per case. A run that was stopped goes on where it was. See "
      "docs/triage.md.",
      "scrapetrace triage --layout geometry/hobdrel.toml --chart geometry/charts/hobdrel_bands.toml --out "
      "today "
      "inbox");
  offer_machine(options, request.evidence);
  options.output("out", request.out, "FOLDER", "for the results; is made if need be");
  options.value("jobs", request.jobs, "N", "cases at a time; the results do not depend on it");
  options.value("shard", shard, "I/N", "only the I-th of N parts of the cases, for one of N machines");
  options.flag("merge", request.merge, "put the folders of all shards together");
  options.flag("force", request.force, "start over in a folder that holds something else");
  options.value("units", request.evidence.units, "mm|inch", "of lengths in the reports; default mm");
  offer_reading(options, request.evidence);
  offer_faint(options, request.evidence);
  options.words("input", request.input, -1);
  if (const auto status = options.parse(arguments)) return *status;
  note_command(options, request.evidence);
  if (const auto what = wrong_with(request, shard); !what.empty()) return options.reject(what);
  const auto status = triage(request);
  const auto traced = write_trace(request.evidence);
  return traced == ExitStatus::ok ? status : traced;
}

}  // namespace scrapetrace::cli
