#include "cli/commands.h"
#include "cli/evidence.h"
#include "cli/html.h"
#include "cli/judging.h"
#include "cli/output.h"
#include "scrapetrace/report.h"

namespace scrapetrace::cli {

namespace {

ExitStatus verdict_status(Verdict verdict) {
  switch (verdict) {
    case Verdict::pass:
      return ExitStatus::ok;
    case Verdict::fail:
      return ExitStatus::failed_limits;
    case Verdict::cannot_judge:
      break;
  }
  return ExitStatus::cannot_judge;
}

ExitStatus accept_request(const EvidenceRequest& request, const JudgingFiles& files) {
  if (const auto problems = check_outputs(request); !problems.empty()) return refuse(problems);
  const auto machine = load_machine(request);
  if (!machine) return refuse(machine.problems());
  const auto judged = judge_scans(request, *machine, files);
  if (!judged) return refuse(judged.problems());
  const auto story = judged->story(*machine, request.unit);
  Reports reports;
  reports.text = report::accept_text(story) + report::origin_text(judged->origin);
  reports.json = report::accept_json(story, judged->origin);
  if (!request.html.empty())
    reports.html = report::accept_html(story, machine->chart_given(), judged->located,
                                       provenance_of(request, judged->origin));
  const auto status = deliver(request, reports);
  return status == ExitStatus::ok ? verdict_status(judged->result.verdict) : status;
}

}  // namespace

ExitStatus run_accept(const Arguments& arguments) {
  EvidenceRequest request;
  JudgingFiles files;
  Options options(
      "accept --layout LAYOUT [--chart CHART] --limits LIMITS [--before SCAN...] [--html FILE|-] [--json "
      "FILE|-] SCAN...",
      "Holds the scans of one machine against limits: pass, fail, or cannot judge, with the reason\n"
      "per limit. Exit status 0, 3 or 4. See docs/accept.md.",
      "scrapetrace accept --layout geometry/hobdrel.toml --chart geometry/charts/hobdrel_bands.toml "
      "--limits fixtures/limits/proof_first_class.toml --html verdict.html scan.tif");
  offer_machine(options, request);
  options.input("limits", files.limits, "FILE", "what a print may show and still pass");
  options.input_list("before", files.before, "SCAN...",
                     "scans of the unit from before the work: jets lost since fail it");
  offer_json(options, request);
  offer_html(options, request);
  offer_reading(options, request);
  offer_faint(options, request);
  options.words("scan", files.scans, -1);
  options.writes_files();
  if (const auto status = options.parse(arguments)) return *status;
  note_command(options, request);
  if (const auto what = wrong_with(request); !what.empty()) return options.reject(what);
  if (files.limits.empty()) return options.reject("--limits is missing: what a print may show.");
  auto all = files.scans;
  all.insert(all.end(), files.before.begin(), files.before.end());
  if (files.scans.empty()) all.clear();
  if (const auto what = wrong_with_scans(all); !what.empty()) return options.reject(what);
  return accept_request(request, files);
}

}  // namespace scrapetrace::cli
