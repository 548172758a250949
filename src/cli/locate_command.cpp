#include <utility>

#include "cli/commands.h"
#include "cli/contents.h"
#include "cli/evidence.h"
#include "cli/html.h"
#include "cli/output.h"
#include "cli/read_scans.h"
#include "scrapetrace/report.h"

namespace scrapetrace::cli {

namespace {

Reports make_reports(const EvidenceRequest& request, const Machine& machine, const report::Origin& origin,
                     const LocateResult& result) {
  const Stage stage(request.options.stages, "make reports");
  const Layout& layout = machine.layout;
  const Chart* chart = machine.chart_given();
  Reports reports;
  if (request.text_to_stdout()) {
    reports.text = report::locate_text(layout, result.findings, request.unit) + report::origin_text(origin);
  }
  if (!request.json.empty()) reports.json = report::locate_json(layout, result.findings, origin);
  if (!request.picture.empty())
    reports.picture = report::locate_svg(layout, chart, result, origin, request.unit);
  if (!request.html.empty())
    reports.html = report::locate_html(layout, chart, result, provenance_of(request, origin), request.unit);
  return reports;
}

ExitStatus locate_request(const EvidenceRequest& request, const std::vector<std::string>& scans) {
  if (const auto problems = check_outputs(request); !problems.empty()) return refuse(problems);
  const auto machine = load_machine(request);
  if (!machine) return refuse(machine.problems());
  Hashes hashes(request, numbered("scan", scans, "scan from before", request.before));
  if (const auto problems = hashes.copies_so_far(); !problems.empty()) return refuse(problems);
  const auto result = locate_files(request, *machine, scans);
  const auto& origin = hashes.origin();
  if (const auto problems = same_scans(origin); !problems.empty()) return refuse(problems);
  const auto status = deliver(request, make_reports(request, *machine, origin, result));
  if (status != ExitStatus::ok) return status;
  const auto before = status_of(result.findings.before);
  return before == ExitStatus::ok ? status_of(result.findings.scans) : before;
}

}  // namespace

ExitStatus run_locate(const Arguments& arguments) {
  EvidenceRequest request;
  std::vector<std::string> scans;
  Options options(
      "locate --layout LAYOUT [--chart CHART] [--html FILE|-] [--json FILE|-] [--picture FILE|-] SCAN...",
      "Finds the printhead side that needs cleaning from scans of sheets that one machine printed in one "
      "state, and prints the answer.",
      "scrapetrace locate --layout geometry/hobdrel.toml --chart geometry/charts/hobdrel_bands.toml "
      "--html answer.html scan.tif");
  offer_evidence(options, request);
  offer_faint(options, request);
  options.input("before", request.before, "SCAN",
                "made before the work on the machine: what it shows already is not new; may be given again");
  options.flag("same-sheet", request.options.same_sheet,
               "the scans are all of one sheet, laid anew each time");
  options.words("scan", scans, -1);
  options.writes_files();
  if (const auto status = options.parse(arguments)) return *status;
  note_command(options, request);
  if (const auto what = wrong_with(request); !what.empty()) return options.reject(what);
  if (const auto what = wrong_with_scans(scans); !what.empty()) return options.reject(what);
  auto all = scans;
  all.insert(all.end(), request.before.begin(), request.before.end());
  if (const auto what = wrong_with_scans(all); !what.empty()) return options.reject(what);
  if (request.photo_corners && all.size() > 1)
    return options.reject("--corners are of one photo; give it alone.");
  if (request.options.same_sheet && scans.size() < 2)
    return options.reject("--same-sheet needs two scans of the sheet or more.");
  return locate_request(request, scans);
}

}  // namespace scrapetrace::cli
