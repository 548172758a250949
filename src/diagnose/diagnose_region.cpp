#include "diagnose/diagnose_region.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "diagnose/trial_causes.h"
#include "diagnose/visible.h"

namespace scrapetrace::diagnose {

namespace {

// Chance that a contact for part of a revolution covers just the patches of a single ink.
constexpr double kOneInkContact = 0.02;
// Misfit that the forward model may have on real prints before "unknown" is considered.
constexpr double kTolerableMisfit = 4.0;  // chi square per degree of freedom, or
constexpr double kTolerablePart = 0.08;   // of what "nothing is wrong" misses by
constexpr double kLeastLoss = 0.01;       // mean over the visible width; fainter is the model's own error
constexpr double kLeastFurther = 0.1;     // of the largest cause of a region, in ink moved

// The scene under all strips that show the streak; when those are of one ink only, the same over all strips
// as well, because the other inks' silence is evidence too.
struct Scenes {
  Scene main;
  Scene one_ink;  // without traces unless the streak shows in one ink only
};

std::size_t inks_of(const PreparedScan& scan, const streak::Track& track) {
  std::set<int> inks;
  for (const auto& v : scan.views.inked) {
    if (std::find(track.strips.begin(), track.strips.end(), v.strip) != track.strips.end())
      inks.insert(v.ink);
  }
  return inks.size();
}

streak::Track all_strips(const PreparedScan& scan) {
  streak::Track track;
  for (std::size_t s = 0; s < scan.strips.strips.size(); ++s) track.strips.push_back(s);
  return track;
}

Scenes make_scenes(const PageContext& page, const std::vector<streak::Region>& regions, std::size_t index,
                   const std::vector<streak::Track>& tracks, const SceneOptions& options) {
  const Interval region_mm = regions[index].x_mm;
  std::vector<Interval> others;
  for (std::size_t r = 0; r < regions.size(); ++r) {
    if (r != index) others.push_back(regions[r].x_mm);
  }
  Scenes scenes;
  bool one_ink = false;
  std::vector<streak::Track> wide = tracks;
  for (std::size_t s = 0; s < tracks.size(); ++s) {
    if (tracks[s].strips.empty()) continue;
    const auto whole = all_strips(page.scans[s]);
    if (inks_of(page.scans[s], tracks[s]) < 2 && inks_of(page.scans[s], whole) > 1) {
      one_ink = true;
      wide[s].strips = whole.strips;
    }
  }
  scenes.main =
      make_scene(page.layout, page.columns, page.scans, page.noise, region_mm, others, wide, options);
  if (one_ink) {
    scenes.one_ink =
        make_scene(page.layout, page.columns, page.scans, page.noise, region_mm, others, tracks, options);
  }
  return scenes;
}

// The scenes with their matrices.
struct Judges {
  explicit Judges(const Scenes& scenes) : main(scenes.main), one_ink(scenes.one_ink) {}
  Evaluator main;
  Evaluator one_ink;
};

// All searches of one round.
struct Round {
  ResidueSearch residue;
  JetSearch jet;
  BoxSearchResult scratch;
  BoxSearchResult haze;
  double misfit = 1;
  double log_unknown = -1e300;
};

template <class Search>
double least_chi_square(const Search& search, double otherwise) {
  double least = otherwise;
  for (const auto& c : search.cells) least = std::min(least, c.chi_square);
  return least;
}

// exp(-chi^2 / 2) of every cell raised to 1 / misfit: a model that fits badly says less.
template <class Search>
void temper(Search& search, double null_chi_square, double misfit) {
  for (auto& c : search.cells) c.log_weight -= -0.5 * (c.chi_square - null_chi_square) * (1 - 1 / misfit);
  search.log_evidence = log_sum(search.cells);
}

Round search_all(const PageContext& page, Judges& judges, const InkState& state, const streak::Region& region,
                 const DiagnoseOptions& options) {
  const Interval region_mm = region.x_mm;
  judges.main.set_state(state);
  const SearchContext context{page.layout, page.columns, page.zones, judges.main, region_mm, options.priors};
  Round round;
  if (region.ink_lost) {
    round.residue = search_residue(context);
    round.jet = search_jet(context);
    round.scratch = search_scratch(context);
  }
  if (region.ink_added) round.haze = search_haze(context);
  const double null = judges.main.chi_square(unshifted(judges.main.scene()));
  double best = least_chi_square(round.residue, null);
  best = least_chi_square(round.jet, best);
  best = least_chi_square(round.scratch, best);
  best = least_chi_square(round.haze, best);
  const double freedom = std::max(1.0, degrees_of_freedom(judges.main.scene()));
  round.misfit = std::max(1.0, best / freedom);
  if (region.ink_lost && !judges.one_ink.scene().traces.empty()) {
    judges.one_ink.set_state(state);
    const SearchContext alone{page.layout,    page.columns, page.zones,
                              judges.one_ink, region_mm,    options.priors};
    ResidueSearch partial = search_residue(alone);
    const double alone_null = judges.one_ink.chi_square(unshifted(judges.one_ink.scene()));
    for (ResidueCell& c : partial.cells) {
      c.chi_square += null - alone_null;  // the other inks stay as they are
      c.log_weight += std::log(kOneInkContact);
      round.residue.cells.push_back(c);
    }
  }
  temper(round.residue, null, round.misfit);
  temper(round.jet, null, round.misfit);
  temper(round.scratch, null, round.misfit);
  temper(round.haze, null, round.misfit);
  // A free profile would fit down to the noise at three log units a column: worth it only when every named
  // cause misses by far more than the forward model's own imperfection.
  const double columns = (region_mm.to_mm - region_mm.from_mm) / page.layout.px_mm() + 1;
  const double free_fit = std::min(null, std::max(kTolerableMisfit * freedom, kTolerablePart * null));
  round.log_unknown = std::log(options.priors.unknown) + 0.5 * (null - free_fit) / round.misfit -
                      3 * std::min(columns, freedom / 4);
  return round;
}

double log_evidence(const Round& r, Cause cause) {
  switch (cause) {
    case Cause::residue:
      return r.residue.log_evidence;
    case Cause::dead_jet:
      return r.jet.log_evidence;
    case Cause::drum_scratch:
      return r.scratch.log_evidence;
    case Cause::blade_haze:
      return r.haze.log_evidence;
    case Cause::unknown:
      return r.log_unknown;
    case Cause::scanner_line:
      break;  // taken out of the raster before
  }
  return -1e300;
}

constexpr std::array<Cause, kCauseCount> kAllCauses = {Cause::residue,      Cause::dead_jet,
                                                       Cause::drum_scratch, Cause::blade_haze,
                                                       Cause::scanner_line, Cause::unknown};

// Probabilities of the causes, given that something is wrong.
std::array<double, kCauseCount> probabilities(const Round& round) {
  std::array<double, kCauseCount> p{};
  double most = -1e300;
  for (Cause c : kAllCauses) most = std::max(most, log_evidence(round, c));
  double sum = 0;
  for (Cause c : kAllCauses) sum += std::exp(log_evidence(round, c) - most);
  for (Cause c : kAllCauses) p[static_cast<std::size_t>(c)] = std::exp(log_evidence(round, c) - most) / sum;
  return p;
}

double best_evidence(const Round& round) {
  double most = -1e300;
  for (Cause c : kAllCauses) most = std::max(most, log_evidence(round, c));
  return most;
}

Cause likeliest(const std::array<double, kCauseCount>& p) {
  return static_cast<Cause>(std::max_element(p.begin(), p.end()) - p.begin());
}

template <class Search>
const auto& best_cell(const Search& search) {
  return *std::max_element(search.cells.begin(), search.cells.end(),
                           [](const auto& a, const auto& b) { return a.log_weight < b.log_weight; });
}

// Puts the best cell of a cause into the state of a scene.
void apply(const PageContext& page, const Scene& scene, const Round& round, Cause cause, InkState& state) {
  if (cause == Cause::residue) {
    const ResidueCell& c = best_cell(round.residue);
    const auto touches =
        geometry::count_touches(page.layout, page.columns, {c.carriage, c.downstream, c.x_mm, c.width_mm});
    ResidueTrial(scene, touches).apply(c.loss, state);
  } else if (cause == Cause::dead_jet) {
    const JetCell& c = best_cell(round.jet);
    JetTrial(c.ink, jet_cells(scene, c.head, c.jet)).apply(c.loss, state);
  } else if (cause == Cause::drum_scratch) {
    const BoxCell& c = best_cell(round.scratch);
    ScratchTrial(scene, c.x_mm).apply(c.strength, state);
  } else if (cause == Cause::blade_haze) {
    const BoxCell& c = best_cell(round.haze);
    HazeTrial(scene, 0.5 * (c.x_mm.from_mm + c.x_mm.to_mm), c.x_mm.to_mm - c.x_mm.from_mm)
        .apply(c.strength, state);
  }
}

// Ink that differs between two states: fraction kept or haze, summed over inks and cells (mm).
double ink_moved(const Scene& scene, const InkState& before, const InkState& after) {
  double sum = 0;
  for (std::size_t c = 0; c < scene.cells.size(); ++c) {
    const double length = scene.cells[c].to_mm - scene.cells[c].from_mm;
    for (std::size_t i = 0; i < before.kept.size(); ++i)
      sum += length * std::abs(before.kept[i][c] - after.kept[i][c]);
    sum += length * std::abs(before.haze[c] - after.haze[c]);
  }
  return sum;
}

template <class Search>
void normalise(Search& search) {
  for (auto& c : search.cells) c.log_weight -= search.log_evidence;
}

Explanation explain(const Round& round) {
  Explanation e;
  e.causes = probabilities(round);
  e.residue = round.residue;
  e.jet = round.jet;
  e.scratch = round.scratch;
  e.haze = round.haze;
  e.misfit = round.misfit;
  normalise(e.residue);
  normalise(e.jet);
  normalise(e.scratch);
  normalise(e.haze);
  return e;
}

}  // namespace

std::vector<Explanation> diagnose_region(const PageContext& page, const std::vector<streak::Region>& regions,
                                         std::size_t index, const DiagnoseOptions& options) {
  const streak::Region& region = regions[index];
  std::vector<streak::Track> tracks;
  for (const PreparedScan& scan : page.scans) {
    tracks.push_back(streak::track_streak(scan.strips, scan.views, region.x_mm, -1, !region.ink_lost));
    if (!region.ink_lost) tracks.back().strips = all_strips(scan).strips;
  }
  const Scenes scenes = make_scenes(page, regions, index, tracks, options.scene);
  if (scenes.main.traces.empty()) return {};

  // Rounds of: what explains best what is left? Then each cause again, given all the others. Both scenes have
  // the same cells, so one state serves them both.
  Judges judges(scenes);
  std::vector<Round> rounds;
  std::vector<Cause> accepted;
  InkState state = untouched(page.layout, scenes.main);
  double largest = 0;
  for (int k = 0; k < options.most_causes; ++k) {
    Round round = search_all(page, judges, state, region, options);
    if (best_evidence(round) < (k == 0 ? options.least_evidence : options.further_evidence)) break;
    const Cause cause = likeliest(probabilities(round));
    InkState next = state;
    apply(page, scenes.main, round, cause, next);
    const double change = ink_moved(scenes.main, state, next);
    // What a strong cause's model misses at its edges looks like a faint further cause.
    if (k > 0 && (cause == Cause::unknown || (cause != Cause::dead_jet && change < kLeastFurther * largest)))
      break;
    largest = std::max(largest, change);
    accepted.push_back(cause);
    state = std::move(next);
    rounds.push_back(std::move(round));
    if (cause == Cause::unknown) break;
  }
  if (rounds.size() > 1) {
    for (std::size_t k = 0; k < rounds.size(); ++k) {
      InkState others = untouched(page.layout, scenes.main);
      for (std::size_t j = 0; j < rounds.size(); ++j) {
        if (j != k) apply(page, scenes.main, rounds[j], accepted[j], others);
      }
      rounds[k] = search_all(page, judges, others, region, options);
      accepted[k] = likeliest(probabilities(rounds[k]));
    }
  }

  std::vector<Explanation> out;
  for (const Round& round : rounds) {
    if (best_evidence(round) < (rounds.size() == 1 ? options.least_evidence : options.further_evidence))
      continue;
    Explanation e = explain(round);
    e.z = region.z;
    e.tracks = tracks;
    describe_visible(page, scenes.main, region, e);
    if (std::abs(e.loss) >= kLeastLoss) out.push_back(std::move(e));
  }
  return out;
}

}  // namespace scrapetrace::diagnose
