#include "cli/layout_fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "base/wording.h"
#include "cli/contents.h"
#include "cli/html.h"
#include "cli/input.h"
#include "cli/output.h"
#include "cli/read_scans.h"
#include "cli/standard_input.h"
#include "geometry/frames.h"
#include "layout/read_places.h"
#include "layout/write_layout.h"
#include "report/fit_report.h"
#include "report/words.h"
#include "scrapetrace/layout_fit.h"
#include "scrapetrace/measure.h"

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

// The places that are known, for a transfer that does not mirror and for one that does: which streak is which
// jet may depend on it.
struct Known {
  std::vector<KnownPlace> if_not;
  std::vector<KnownPlace> if_mirrored;
  LayoutFitOptions options;
};

Problems add_seen(const std::string& file, Known& known) {
  const auto text = load_text(file);
  if (!text) return text.problems();
  const auto places = layout::read_places(*text, shown_name(file));
  if (!places) return places.problems();
  for (auto* list : {&known.if_not, &known.if_mirrored})
    list->insert(list->end(), places->begin(), places->end());
  return {};
}

// What the scans show, and how sure each is of its places.
struct Looked {
  std::vector<ScanInput> scans;
  std::vector<double> sigma_mm;  // per scan
  std::vector<Streak> streaks;
};

Result<Looked> look_at(const LayoutFitRequest& request, const Machine& machine, CaseBudget& budget) {
  Looked out;
  auto located = locate_to_go_on(request.evidence, machine, request.evidence.options, request.scans, budget);
  out.scans = std::move(located.scans);
  auto findings = std::move(located.result.findings);
  Problems problems;
  for (const auto& scan : findings.scans) {
    if (scan.registration) {
      out.sigma_mm.push_back(scan.registration->predicted_error_mm);
    } else {
      problems.push_back(
          {scan.file, 0, 0, scan.reasons.empty() ? "could not be analysed" : scan.reasons.front()});
    }
  }
  if (!problems.empty()) return problems;
  for (auto& streak : findings.streaks) {
    if (streak.likeliest() != Cause::scanner_line) out.streaks.push_back(std::move(streak));
  }
  return out;
}

// Each pair measured on each scan.
std::vector<KnownPlace> measured(const LayoutFitRequest& request, const Machine& machine,
                                 const Looked& looked, const PairedJets& paired, bool mirrored) {
  constexpr double kLeastSigma_mm = 0.02;  // half a pixel at 600 dpi
  constexpr double kHalf_mm = 0.5;         // of the place that is asked for; the view reaches further
  const geometry::SheetFromDrum sheet_from_drum(machine.layout);
  std::vector<Place> places;
  for (std::size_t p = 0; p < paired.places.size(); ++p) {
    const double x = sheet_from_drum.drum_x(paired.places[p].x_sheet_mm);
    places.push_back({{x - kHalf_mm, x + kHalf_mm}, {}, looked.streaks[paired.streaks[p]].inks, false});
  }
  std::vector<KnownPlace> out;
  for (std::size_t s = 0; s < looked.scans.size(); ++s) {
    const auto views = view_places(machine.layout, machine.chart_given(), {looked.scans[s]}, places,
                                   request.evidence.options);
    for (std::size_t p = 0; p < places.size(); ++p) {
      KnownPlace place = paired.places[p];
      const auto x = x_of_gap(machine.layout, place, mirrored, views[p].x_drum_mm, views[p].loss);
      if (!x) continue;
      place.x_sheet_mm = *x;
      place.sigma_mm = std::hypot(looked.sigma_mm[s], kLeastSigma_mm);
      out.push_back(std::move(place));
    }
  }
  return out;
}

// A scan is placed by printed edges, which lie on whole columns: one at either end of the print.
void share_placement(const Machine& machine, const Looked& looked, LayoutFitOptions& options) {
  const double worst = *std::max_element(looked.sigma_mm.begin(), looked.sigma_mm.end());
  const double edge = std::hypot(worst, machine.layout.px_mm() / std::sqrt(12.0));
  options.shared_shift_sigma_mm = edge;
  options.shared_stretch_sigma = std::sqrt(2.0) * edge / machine.layout.drum.width_mm;
}

// Heads and jets that the layout does not have.
Problems unknown_jets(const std::vector<KnownJet>& jets, const Layout& layout) {
  Problems problems;
  for (const KnownJet& jet : jets) {
    const auto head = std::find_if(layout.heads.begin(), layout.heads.end(),
                                   [&](const Head& each) { return each.name == jet.head; });
    const std::string flag = fmt::format("--off {}:{}", report::printable(jet.head), jet.jet);
    if (head == layout.heads.end()) {
      problems.push_back({flag, 0, 0, fmt::format("no head is called {}", in_quotes(jet.head))});
    } else if (jet.jet < 0 || jet.jet >= head->jets) {
      problems.push_back({flag, 0, 0, fmt::format("that head's jets are 0 to {}", head->jets - 1)});
    }
  }
  return problems;
}

Problems add_off(LayoutFitRequest request, const Machine& machine, Known& known) {
  std::vector<KnownJet> jets;
  for (const auto& flag : request.off) jets.push_back(*jet_of(flag));
  if (auto problems = unknown_jets(jets, machine.layout); !problems.empty()) return problems;
  CaseBudget budget(request.evidence.reading.of_case);
  request.evidence.options.until = budget.until();
  const auto looked = look_at(request, machine, budget);
  if (!looked) return looked.problems();
  share_placement(machine, *looked, known.options);
  std::vector<std::string> missing;
  for (const bool mirrored : {false, true}) {
    const auto paired = pair_jets(machine.layout, jets, looked->streaks, mirrored);
    auto& list = mirrored ? known.if_mirrored : known.if_not;
    const auto places = measured(request, machine, *looked, paired, mirrored);
    list.insert(list.end(), places.begin(), places.end());
    if (mirrored != machine.layout.transfer.mirrored) continue;
    missing = paired.missing;
    for (const auto& place : paired.places) {
      const auto same = [&](const KnownPlace& other) { return to_string(other) == to_string(place); };
      if (std::none_of(places.begin(), places.end(), same)) missing.push_back(to_string(place));
    }
  }
  for (const auto& jet : missing) complain(jet + ": its gap was not seen whole; it is left out.");
  return {};
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
  Known known;
  if (!request.seen.empty()) {
    if (const auto problems = add_seen(request.seen, known); !problems.empty()) return refuse(problems);
  }
  if (!request.off.empty()) {
    // What the layout is off by is to be found: none of it may be taken for tolerable.
    Machine exact = *machine;
    exact.layout.tolerance = {0, 0};
    if (const auto problems = add_off(request, exact, known); !problems.empty()) return refuse(problems);
  }
  LayoutFitOptions options = known.options;
  options.mirrored = mirrored_probability(machine->layout, known.if_not, known.if_mirrored, options);
  const bool mirrored =
      *options.mirrored > 0.99 || (*options.mirrored >= 0.01 && machine->layout.transfer.mirrored);
  const auto found = fit_layout(machine->layout, mirrored ? known.if_mirrored : known.if_not, options);
  if (!found) return refuse(found.problems());
  return deliver(request, *found);
}

}  // namespace scrapetrace::cli
