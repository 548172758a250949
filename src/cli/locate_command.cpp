#include <algorithm>
#include <filesystem>

#include "base/wording.h"
#include "cli/commands.h"
#include "cli/input.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/picture.h"
#include "report/locate_json.h"
#include "report/locate_text.h"
#include "scan/read_page.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::cli {

namespace {

struct Request {
  std::string layout;
  std::string chart;
  std::string json;
  std::string picture;
  std::vector<std::string> scans;
  LocateOptions options;
  [[nodiscard]] bool json_to_stdout() const { return json == "-"; }
};

// The same sheet twice would count as two witnesses.
std::string repeated_scan(const std::vector<std::string>& scans) {
  std::vector<std::filesystem::path> seen;
  for (const auto& scan : scans) {
    std::error_code error;
    const auto path = std::filesystem::weakly_canonical(std::filesystem::absolute(scan), error);
    if (!error && std::find(seen.begin(), seen.end(), path) != seen.end()) return scan;
    seen.push_back(path);
  }
  return {};
}

std::string wrong_with(const Request& request) {
  if (request.layout.empty()) return "--layout is missing: the machine's description.";
  if (request.scans.empty()) return "no scan given.";
  if (const auto scan = repeated_scan(request.scans); !scan.empty()) {
    return "the scan " + in_quotes(scan) + " is given twice; give each scan once.";
  }
  const double rate = request.options.false_alarm_rate;
  if (!(rate > 0 && rate < 1)) return "--false-alarms must lie between 0 and 1, both excluded.";
  const double dpi = request.options.dpi;
  if (dpi != 0 && !(dpi >= 50 && dpi <= 9600)) return "--dpi must lie between 50 and 9600.";
  return {};
}

Problems check_outputs(const Request& request) {
  Problems problems;
  if (!request.json.empty() && !request.json_to_stdout()) problems = check_writable(request.json);
  if (!request.picture.empty()) {
    for (auto& problem : check_picture(request.picture)) problems.push_back(std::move(problem));
  }
  return problems;
}

std::vector<ScanInput> read_scans(const Request& request, const Layout& machine, const Chart* chart) {
  scan::ReadOptions options;
  options.dpi = request.options.dpi;
  options.drum_width_mm = machine.drum.width_mm;
  if (chart != nullptr) options.sheet_mm = chart->sheet_mm;
  std::vector<ScanInput> scans;
  for (const auto& file : request.scans) scans.push_back({file, scan::read_page(file, options)});
  return scans;
}

Problems write_reports(const Request& request, const Layout& machine, const Chart* chart,
                       const LocateResult& result, const std::string& json) {
  Problems problems;
  if (!request.json.empty() && !request.json_to_stdout()) problems = write_file(request.json, json);
  if (!request.picture.empty()) {
    report::PictureOptions options;
    if (chart != nullptr) options.sheet_mm = chart->sheet_mm;
    const auto svg = report::picture_svg(machine, result.findings, encode(result.thumbnails), options);
    for (auto& problem : write_picture(request.picture, svg)) problems.push_back(std::move(problem));
  }
  return problems;
}

ExitStatus locate_scans(const Request& request, const Layout& machine, const Chart* chart) {
  const auto result = locate(machine, chart, read_scans(request, machine, chart), request.options);
  const std::string json = report::locate_json(machine, result.findings, SCRAPETRACE_VERSION);
  const auto problems = write_reports(request, machine, chart, result, json);
  const auto printed =
      print_result(request.json_to_stdout() ? json : report::locate_text(machine, result.findings));
  if (!problems.empty()) return refuse(problems);
  if (printed != ExitStatus::ok) return printed;
  const auto& scans = result.findings.scans;
  const bool all =
      std::all_of(scans.begin(), scans.end(), [](const ScanReport& scan) { return scan.analysed(); });
  return all ? ExitStatus::ok : ExitStatus::scan_failed;
}

ExitStatus locate_request(Request& request) {
  if (const auto problems = check_outputs(request); !problems.empty()) return refuse(problems);
  request.options.thumbnails = !request.picture.empty();
  const auto machine = load_layout(request.layout);
  if (!machine) return refuse(machine.problems());
  if (request.chart.empty()) return locate_scans(request, *machine, nullptr);
  const auto chart = load_chart(request.chart, *machine);
  if (!chart) return refuse(chart.problems());
  return locate_scans(request, *machine, &*chart);
}

}  // namespace

ExitStatus run_locate(const Arguments& arguments) {
  Request request;
  Options options(
      "locate --layout LAYOUT [--chart CHART] [--json FILE|-] [--picture FILE] SCAN...",
      "Finds the printhead side that needs cleaning from scans of sheets that one machine printed in one "
      "state.\nPrints the answer; see docs/safety.md before you open the machine.",
      "scrapetrace locate --layout geometry/hobdrel.toml --chart geometry/charts/hobdrel_bands.toml "
      "--picture answer.png scan.tif");
  options.value("layout", request.layout, "FILE", "the machine");
  options.value("chart", request.chart, "FILE",
                "what was printed; without it the patches are found from the scans");
  options.value("json", request.json, "FILE|-", "the findings for programs; with - alone on standard output");
  options.value("picture", request.picture, "FILE", "one annotated picture, .png or .svg");
  options.value("dpi", request.options.dpi, "N", "of the scans, where their tags are missing or wrong");
  options.value("false-alarms", request.options.false_alarm_rate, "RATE", "false streaks to expect per page");
  options.words("scan", request.scans, -1);
  if (const auto status = options.parse(arguments)) return *status;
  if (const auto what = wrong_with(request); !what.empty()) return options.reject(what);
  return locate_request(request);
}

}  // namespace scrapetrace::cli
