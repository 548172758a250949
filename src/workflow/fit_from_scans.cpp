#include "scrapetrace/fit_from_scans.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/wording.h"
#include "geometry/frames.h"
#include "scrapetrace/measure.h"

namespace scrapetrace {

namespace {

// What the scans show, and how sure each is of its places.
struct Looked {
  const std::vector<ScanInput>& scans;
  std::vector<double> sigma_mm;  // per scan
  std::vector<Streak> streaks;
};

Result<Looked> look_at(const LocatedScans& located) {
  Looked out{located.scans, {}, {}};
  const Findings& findings = located.result.findings;
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
  for (const auto& streak : findings.streaks) {
    if (streak.likeliest() != Cause::scanner_line) out.streaks.push_back(streak);
  }
  return out;
}

struct Asked {
  const Layout& layout;
  const Chart* chart;
  const LocateOptions& options;
};

// Each pair measured on each scan.
std::vector<KnownPlace> measured(const Asked& asked, const Looked& looked, const PairedJets& paired,
                                 bool mirrored) {
  constexpr double kLeastSigma_mm = 0.02;  // half a pixel at 600 dpi
  constexpr double kHalf_mm = 0.5;         // of the place that is asked for; the view reaches further
  const geometry::SheetFromDrum sheet_from_drum(asked.layout);
  std::vector<Place> places;
  for (std::size_t p = 0; p < paired.places.size(); ++p) {
    const double x = sheet_from_drum.drum_x(paired.places[p].x_sheet_mm);
    places.push_back({{x - kHalf_mm, x + kHalf_mm}, {}, looked.streaks[paired.streaks[p]].inks, false});
  }
  std::vector<KnownPlace> out;
  for (std::size_t s = 0; s < looked.scans.size(); ++s) {
    const auto views = view_places(asked.layout, asked.chart, {looked.scans[s]}, places, asked.options);
    for (std::size_t p = 0; p < places.size(); ++p) {
      KnownPlace place = paired.places[p];
      const auto x = x_of_gap(asked.layout, place, mirrored, views[p].x_drum_mm, views[p].loss);
      if (!x) continue;
      place.x_sheet_mm = *x;
      place.sigma_mm = std::hypot(looked.sigma_mm[s], kLeastSigma_mm);
      out.push_back(std::move(place));
    }
  }
  return out;
}

// A scan is placed by printed edges, which lie on whole columns: one at either end of the print.
void share_placement(const Layout& layout, const Looked& looked, LayoutFitOptions& options) {
  if (looked.sigma_mm.empty()) return;
  const double worst = *std::max_element(looked.sigma_mm.begin(), looked.sigma_mm.end());
  const double edge = std::hypot(worst, layout.px_mm() / std::sqrt(12.0));
  options.shared_shift_sigma_mm = edge;
  options.shared_stretch_sigma = std::sqrt(2.0) * edge / layout.drum.width_mm;
}

// Those paired whose gap no scan shows whole, and those that were not paired at all.
std::vector<std::string> not_seen(const PairedJets& paired, const std::vector<KnownPlace>& places) {
  auto missing = paired.missing;
  for (const auto& place : paired.places) {
    const auto same = [&](const KnownPlace& other) { return to_string(other) == to_string(place); };
    if (std::none_of(places.begin(), places.end(), same)) missing.push_back(to_string(place));
  }
  return missing;
}

}  // namespace

Layout layout_to_fit(const Layout& start) {
  Layout exact = start;
  exact.tolerance = {0, 0};
  return exact;
}

Problems unknown_jets(const Layout& start, const std::vector<KnownJet>& jets) {
  Problems problems;
  for (const KnownJet& jet : jets) {
    const auto head = std::find_if(start.heads.begin(), start.heads.end(),
                                   [&](const Head& each) { return each.name == jet.head; });
    const std::string name = fmt::format("{}:{}", jet.head, jet.jet);
    if (head == start.heads.end()) {
      problems.push_back({name, 0, 0, fmt::format("no head is called {}", in_quotes(jet.head))});
    } else if (jet.jet < 0 || jet.jet >= head->jets) {
      problems.push_back({name, 0, 0, fmt::format("that head's jets are 0 to {}", head->jets - 1)});
    }
  }
  return problems;
}

Result<KnownPlaces> places_of_jets(const Layout& start, const Chart* chart, const std::vector<KnownJet>& jets,
                                   const LocatedScans& located, const LocateOptions& options) {
  if (auto problems = unknown_jets(start, jets); !problems.empty()) return problems;
  const auto looked = look_at(located);
  if (!looked) return looked.problems();
  const Layout exact = layout_to_fit(start);
  const Asked asked{exact, chart, options};
  KnownPlaces known;
  share_placement(exact, *looked, known.options);
  for (const bool mirrored : {false, true}) {
    const auto paired = pair_jets(exact, jets, looked->streaks, mirrored);
    auto places = measured(asked, *looked, paired, mirrored);
    if (mirrored == exact.transfer.mirrored) known.missing = not_seen(paired, places);
    (mirrored ? known.if_mirrored : known.if_not) = std::move(places);
  }
  return known;
}

void add_places(KnownPlaces& known, const std::vector<KnownPlace>& places) {
  for (auto* list : {&known.if_not, &known.if_mirrored})
    list->insert(list->begin(), places.begin(), places.end());
}

Result<LayoutFit> fit_layout(const Layout& start, const KnownPlaces& known) {
  LayoutFitOptions options = known.options;
  options.mirrored = mirrored_probability(start, known.if_not, known.if_mirrored, options);
  const bool mirrored = *options.mirrored > 0.99 || (*options.mirrored >= 0.01 && start.transfer.mirrored);
  return fit_layout(start, mirrored ? known.if_mirrored : known.if_not, options);
}

Result<FittedScans> fit_layout_to_scans(const Layout& start, const Chart* chart,
                                        const std::vector<KnownJet>& jets, std::vector<ScanInput> scans,
                                        const std::vector<KnownPlace>& seen, const LocateOptions& options) {
  if (auto problems = unknown_jets(start, jets); !problems.empty()) return problems;
  const auto located = locate_and_keep(layout_to_fit(start), chart, std::move(scans), options);
  auto known = places_of_jets(start, chart, jets, located, options);
  if (!known) return known.problems();
  KnownPlaces all = std::move(known).value();
  add_places(all, seen);
  auto fit = fit_layout(start, all);
  if (!fit) return fit.problems();
  return FittedScans{std::move(fit).value(), std::move(all.missing)};
}

}  // namespace scrapetrace
