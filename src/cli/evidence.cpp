#include "cli/evidence.h"

#include <algorithm>
#include <filesystem>

#include "base/memory_limit.h"
#include "base/wording.h"
#include "cli/corners.h"
#include "cli/input.h"
#include "cli/output.h"
#include "cli/picture.h"

namespace scrapetrace::cli {

namespace {

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

std::optional<ImageSide> side_named(const std::string& name) {
  if (name == "top") return ImageSide::top;
  if (name == "right") return ImageSide::right;
  if (name == "bottom") return ImageSide::bottom;
  if (name == "left") return ImageSide::left;
  return std::nullopt;
}

void append(Problems& problems, Problems more) {
  for (auto& problem : more) problems.push_back(std::move(problem));
}

}  // namespace

void offer_machine(Options& options, EvidenceRequest& request) {
  options.input("layout", request.layout, "FILE", "the machine");
  options.input("chart", request.chart, "FILE",
                "what was printed; without it the patches are found from the scans");
}

void offer_json(Options& options, EvidenceRequest& request) {
  options.output("json", request.json, "FILE|-",
                 "the findings for programs; with - alone on standard output");
}

void offer_reading(Options& options, EvidenceRequest& request) {
  options.value("dpi", request.options.dpi, "N", "of the scans, where their tags are missing or wrong");
  options.value("lead-edge", request.lead_edge, "SIDE",
                "of the scan's image at which the sheet's lead edge lies: top, right, bottom or left");
  options.value(
      "mirrored", request.mirrored, "yes|no",
      "whether the scans are mirror images of the sheets; left out, hardly ever: one in two thousand");
  options.value(
      "corners", request.corners, "X,Y:X,Y:X,Y:X,Y",
      "of the sheet in a photo without tags, where they are not found: pixels, from the lead edge's "
      "left corner clockwise");
  options.value("false-alarms", request.options.false_alarm_rate, "RATE", "false streaks to expect per page");
  options.output("trace", request.trace, "FILE", "when each stage of the work began and how long it took");
  offer_limits(options, request.reading);
  options.show_cautions();
}

void offer_faint(Options& options, EvidenceRequest& request) {
  options.flag("faint-too", request.options.faint_too,
               "streaks too faint for an eye to see count as well: they name targets instead of traces");
}

void offer_html(Options& options, EvidenceRequest& request) {
  options.output("html", request.html, "FILE|-",
                 "the whole report as one page for desk, phone and printer; with - alone on standard output");
  options.value("units", request.units, "mm|inch", "of lengths in text, page and picture; default mm");
}

void offer_evidence(Options& options, EvidenceRequest& request) {
  offer_machine(options, request);
  offer_json(options, request);
  offer_html(options, request);
  options.output("picture", request.picture, "FILE|-",
                 "one annotated picture, .png or .svg; with - an SVG alone on standard output");
  offer_reading(options, request);
}

void note_command(const Options& options, EvidenceRequest& request) {
  request.command_line = options.command_line();
  request.settings = options.settings();
  if (request.units == "inch") request.unit = report::LengthUnit::inch;
}

std::string wrong_with(EvidenceRequest& request) {
  if (request.units != "mm" && request.units != "inch")
    return "--units must be mm or inch, not " + in_quotes(request.units) + ".";
  if (auto what =
          two_on_stdout({{"--json", request.json}, {"--html", request.html}, {"--picture", request.picture}});
      !what.empty())
    return what;
  if (request.layout.empty()) return "--layout is missing: the machine's description.";
  const double rate = request.options.false_alarm_rate;
  if (!(rate > 0 && rate < 1)) return "--false-alarms must lie between 0 and 1, both excluded.";
  if (auto what = wrong_with(request.reading); !what.empty()) return what;
  const double dpi = request.options.dpi;
  if (dpi != 0 && !(dpi >= 50 && dpi <= 9600)) return "--dpi must lie between 50 and 9600.";
  if (!request.trace.empty()) {
    request.stages = std::make_shared<StageTimes>();
    request.options.stages = request.stages.get();
  }
  if (!request.corners.empty()) {
    request.photo_corners = corners_in(request.corners);
    if (!request.photo_corners) {
      return "--corners is " + in_quotes(request.corners) +
             "; it needs four places in the picture as X,Y:X,Y:X,Y:X,Y, no three of them on a line.";
    }
    if (request.chart.empty()) return "--corners needs --chart, whose sheet has these corners.";
  }
  if (!request.mirrored.empty()) {
    if (request.mirrored != "yes" && request.mirrored != "no")
      return "--mirrored must be yes or no, not " + in_quotes(request.mirrored) + ".";
    request.options.mirrored = request.mirrored == "yes";
  }
  if (request.lead_edge.empty()) return {};
  request.options.lead_edge = side_named(request.lead_edge);
  if (!request.options.lead_edge) {
    return "--lead-edge is " + in_quotes(request.lead_edge) + "; allowed are top, right, bottom and left.";
  }
  return {};
}

std::string wrong_with_scans(const std::vector<std::string>& scans) {
  if (scans.empty()) return "no scan given.";
  const auto scan = repeated_scan(scans);
  if (scan.empty()) return {};
  return "the scan " + in_quotes(scan) + " is given twice; give each scan once.";
}

Problems check_outputs(const EvidenceRequest& request) {
  Problems problems;
  if (!request.json.empty() && !request.json_to_stdout()) append(problems, check_writable(request.json));
  if (!request.html.empty() && !request.html_to_stdout()) append(problems, check_writable(request.html));
  if (!request.picture.empty()) append(problems, check_picture(request.picture));
  if (!request.trace.empty()) append(problems, check_writable(request.trace));
  return problems;
}

Result<Machine> load_machine(const EvidenceRequest& request, int cases) {
  const Stage stage(request.options.stages, "read layout and chart");
  auto reader = start_reader(request.reading);
  if (!reader) return reader.problems();
  limit_memory(1e6 * request.reading.of_case.memory_megabytes * cases);
  auto layout = load_layout(request.layout);
  if (!layout) return layout.problems();
  Machine machine{std::move(layout).value(), std::nullopt, std::move(reader).value()};
  if (request.chart.empty()) return machine;
  auto chart = load_chart(request.chart, machine.layout);
  if (!chart) return chart.problems();
  machine.chart = std::move(chart).value();
  return machine;
}

ExitStatus deliver(const EvidenceRequest& request, const Reports& reports) {
  std::vector<Output> outputs{{request.json, reports.json}, {request.html, reports.html}};
  Problems problems;
  if (request.picture_to_stdout()) {
    outputs.push_back({request.picture, reports.picture});
  } else if (!request.picture.empty()) {
    problems = write_picture(request.picture, reports.picture);
  }
  const auto handed_over = hand_over(outputs, reports.text);
  if (const auto traced = write_trace(request); traced != ExitStatus::ok) return traced;
  return problems.empty() ? handed_over : refuse(problems);
}

ExitStatus write_trace(const EvidenceRequest& request) {
  if (request.trace.empty()) return ExitStatus::ok;
  const auto problems =
      write_file(request.trace, report::trace_json(request.stages->ended(), SCRAPETRACE_VERSION));
  return problems.empty() ? ExitStatus::ok : refuse(problems);
}

ExitStatus status_of(const std::vector<ScanReport>& scans) {
  const bool all =
      std::all_of(scans.begin(), scans.end(), [](const ScanReport& scan) { return scan.analysed(); });
  return all ? ExitStatus::ok : ExitStatus::scan_failed;
}

}  // namespace scrapetrace::cli
