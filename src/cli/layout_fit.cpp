#include "cli/layout_fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "base/wording.h"
#include "cli/contents.h"
#include "cli/html.h"
#include "cli/input.h"
#include "cli/output.h"
#include "cli/read_scans.h"
#include "cli/standard_input.h"
#include "report/fit_report.h"
#include "report/words.h"
#include "scrapetrace/fit_from_scans.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace::cli {

namespace {

// "3:20"; the head's name may hold colons.
std::optional<KnownJet> jet_of(const std::string& flag) {
  const auto colon = flag.rfind(':');
  if (colon == std::string::npos || colon == 0) return std::nullopt;
  KnownJet jet{flag.substr(0, colon), -1, std::nullopt};
  const char* end = flag.data() + flag.size();
  const auto [stop, error] = std::from_chars(flag.data() + colon + 1, end, jet.jet);
  if (error != std::errc() || stop != end || jet.jet < 0) return std::nullopt;
  return jet;
}

Result<std::vector<KnownPlace>> load_places(const std::string& file) {
  if (file.empty()) return std::vector<KnownPlace>{};
  const auto text = load_text(file);
  if (!text) return text.problems();
  return layout::read_places(*text, shown_name(file));
}

Problems unknown_flags(const std::vector<KnownJet>& jets, const Layout& layout) {
  Problems problems = unknown_jets(layout, jets);
  for (auto& problem : problems) problem.file = "--off " + report::printable(problem.file);
  return problems;
}

// What the scans show of the jets that were switched off.
Result<KnownPlaces> places_on_scans(const LayoutFitRequest& request, const Machine& machine) {
  std::vector<KnownJet> jets;
  for (const auto& flag : request.off) jets.push_back(*jet_of(flag));
  if (auto problems = unknown_flags(jets, machine.layout); !problems.empty()) return problems;
  Machine to_fit = machine;
  to_fit.layout = layout_to_fit(machine.layout);
  CaseBudget budget(request.evidence.reading.of_case);
  LocateOptions options = request.evidence.options;
  options.until = budget.until();
  const auto located = locate_to_go_on(request.evidence, to_fit, options, request.scans, budget);
  auto known = places_of_jets(machine.layout, machine.chart_given(), jets, located, options);
  if (!known) return known;
  for (const auto& jet : known->missing) complain(jet + ": its gap was not seen whole; it is left out.");
  return known;
}

// What the reader of layouts says of it: heads that now leave a hole, or leave the drum.
Problems faults_of(const std::string& toml, const std::string& name) {
  const auto read = layout::read_layout(toml, name);
  if (read) return {};
  Problems problems{{name, 0, 0,
                     "the layout that fits the places is none that a machine can have, and is not written; a "
                     "place, or a head's number of jets, is wrong:"}};
  problems.insert(problems.end(), read.problems().begin(), read.problems().end());
  return problems;
}

std::string page_of(const LayoutFitRequest& request, const LayoutFit& found) {
  auto files = numbered("scan", request.scans);
  if (!request.seen.empty()) files.push_back({"places", request.seen});
  return report::fit_html(found, provenance_of(request.evidence, origin_of(request.evidence, files)));
}

ExitStatus deliver(const LayoutFitRequest& request, const LayoutFit& found) {
  const std::string toml = layout::write_layout(found.layout, report::fit_remark(found));
  const auto faults = faults_of(toml, "the fitted layout");
  const auto& evidence = request.evidence;
  if (!faults.empty()) {
    const bool alone = request.out == "-" || !evidence.text_to_stdout();
    const auto printed = alone ? ExitStatus::ok : print_result(report::fit_text(found));
    return printed == ExitStatus::ok ? refuse(faults) : printed;
  }
  std::vector<Output> outputs{{request.out, toml}};
  if (!evidence.json.empty())
    outputs.push_back({evidence.json, report::fit_json(found, SCRAPETRACE_VERSION)});
  if (!evidence.html.empty()) outputs.push_back({evidence.html, page_of(request, found)});
  return hand_over(outputs, report::fit_text(found));
}

}  // namespace

SheetPart layout_fit_part() {
  return {
      "fit",
      "layout fit --layout START [--chart CHART] [--seen FILE|-] [--off HEAD:JET... SCAN...] [--out FILE|-] "
      "[--json FILE|-] [--html FILE|-]",
      "Makes a layout for a machine never seen, from a layout to start from and known places on the "
      "machine:\n"
      "jets that were switched off when the scans were printed (--off), or places measured on a print\n"
      "(--seen). Says which keys they do not determine. See docs/layout-fit.md.",
      "scrapetrace layout fit --layout geometry/tavvick.toml --seen fixtures/places/tavvick_bench.toml --out "
      "fitted.toml --html fitted.html",
      {"layout",
       "chart",
       "seen",
       "off",
       "out",
       "json",
       "html",
       "dpi",
       "lead-edge",
       "mirrored",
       "false-alarms",
       "trace",
       "most-megapixels",
       "most-megabytes",
       "most-pages",
       "most-seconds",
       "most-memory",
       "most-case-megapixels",
       "most-case-memory",
       "most-case-seconds",
       "no-sandbox",
       "force"}};
}

void offer_layout_fit(Options& options, LayoutFitRequest& request) {
  offer_machine(options, request.evidence);
  options.input("seen", request.seen, "FILE|-", "fit: known places and where they show (docs/layout-fit.md)");
  options.input_list("off", request.off, "HEAD:JET...",
                     "fit: jets that were switched off when the scans were printed");
  options.output("out", request.out, "FILE|-", "fit: the layout that fits; with - alone on standard output");
  options.output("json", request.evidence.json, "FILE|-", "fit: what was found, for programs");
  options.output("html", request.evidence.html, "FILE|-", "fit: the whole report as one page");
  offer_reading(options, request.evidence);
}

// A list goes on to the next option: with no scans elsewhere, what stands in it without a colon is no jet but
// a scan.
void take_scans_after_jets(LayoutFitRequest& request) {
  if (!request.scans.empty()) return;
  const auto scans =
      std::stable_partition(request.off.begin(), request.off.end(),
                            [](const std::string& word) { return word.find(':') != std::string::npos; });
  request.scans.insert(request.scans.end(), scans, request.off.end());
  request.off.erase(scans, request.off.end());
}

std::string wrong_with(LayoutFitRequest& request) {
  if (auto what = wrong_with(request.evidence); !what.empty()) return what;
  if (auto what = two_on_stdout(
          {{"--out", request.out}, {"--json", request.evidence.json}, {"--html", request.evidence.html}});
      !what.empty())
    return what;
  if (request.seen.empty() && request.off.empty())
    return "nothing is known: give --seen with a file of places, or --off with jets and their scans.";
  if (request.off.empty() != request.scans.empty())
    return "--off names jets that were switched off, and needs the scans of that print; scans need --off.";
  for (const auto& flag : request.off) {
    if (!jet_of(flag)) return "--off takes HEAD:JET, as 3:20, not " + in_quotes(flag) + ".";
  }
  return request.scans.empty() ? "" : wrong_with_scans(request.scans);
}

ExitStatus fit_layout_to(const LayoutFitRequest& request) {
  if (!request.out.empty() && request.out != "-") {
    if (const auto problems = check_writable(request.out); !problems.empty()) return refuse(problems);
  }
  if (const auto problems = check_outputs(request.evidence); !problems.empty()) return refuse(problems);
  const auto machine = load_machine(request.evidence);
  if (!machine) return refuse(machine.problems());
  const auto scans = origin_of(request.evidence, numbered("scan", request.scans));
  if (const auto problems = same_scans(scans); !problems.empty()) return refuse(problems);
  const auto seen = load_places(request.seen);
  if (!seen) return refuse(seen.problems());
  auto known = request.off.empty() ? Result<KnownPlaces>(KnownPlaces{}) : places_on_scans(request, *machine);
  if (!known) return refuse(known.problems());
  KnownPlaces all = std::move(known).value();
  add_places(all, *seen);
  const auto found = fit_layout(machine->layout, all);
  if (!found) return refuse(found.problems());
  return deliver(request, *found);
}

}  // namespace scrapetrace::cli
