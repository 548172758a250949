#include "diagnose/diagnose_region.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "causes/ink_moved.h"
#include "causes/split_contact.h"
#include "diagnose/discrepancy.h"
#include "diagnose/region_tracks.h"
#include "diagnose/round.h"
#include "diagnose/sheet_damage.h"
#include "diagnose/shown_loss.h"
#include "diagnose/visible.h"
#include "diagnose/wide_region.h"
#include "likelihood/pool.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kLeastLoss = 0.01;    // mean over the visible width; fainter is the model's own error
constexpr double kLeastFurther = 0.2;  // of the largest cause of a region, in ink moved, unless with it
constexpr double kExplained = 2.0;     // the misfit per degree of freedom is below this, and
constexpr double kBetterBy = 2.0;      // that many times less than it was without it
constexpr double kPoor = 1.35;         // the misfit of one contact above which two are tried
constexpr int kTrialTurns = 3;

// Inks that every strip of a track holds: one of them may explain it alone. Empty without strips.
std::set<std::size_t> common_inks(const profile::PreparedScan& scan, const streak::Track& track) {
  std::map<std::size_t, std::set<std::size_t>> held;  // by strip
  for (const auto& v : scan.views.inked) {
    if (!track.shown_by(v.strip)) continue;
    auto& inks = held[v.strip];
    inks.insert(static_cast<std::size_t>(v.ink));
    for (std::size_t i = 0; i < v.ink_density.size(); ++i) {
      if (v.ink_density[i] > 0) inks.insert(i);
    }
  }
  if (held.empty()) return {};
  std::set<std::size_t> out = held.begin()->second;
  for (const auto& [strip, inks] : held)
    std::erase_if(out, [&inks = inks](std::size_t ink) { return inks.count(ink) == 0; });
  return out;
}

// Whether a track has a solid strip: where cells of a tint's screen nearly fit the raster, single columns of
// its ink come out pale or dark, as if something touched that ink alone.
bool on_solids(const profile::PreparedScan& scan, const streak::Track& track) {
  return std::any_of(scan.views.inked.begin(), scan.views.inked.end(), [&](const profile::InkView& view) {
    return view.coverage == 1 && track.shown_by(view.strip);
  });
}

Scenes make_scenes(const PageContext& page, const std::vector<streak::Region>& regions, std::size_t index,
                   const std::vector<streak::Track>& tracks, const SceneOptions& options) {
  const Interval region_mm = regions[index].x_mm;
  const std::vector<Interval> others = streak::apart_from(regions, index);
  Scenes scenes;
  bool one_ink = false;
  std::vector<streak::Track> wide = tracks;
  for (std::size_t s = 0; s < tracks.size(); ++s) {
    if (tracks[s].strips.empty()) continue;
    const auto whole = all_strips(page.scans[s]);
    if (!common_inks(page.scans[s], tracks[s]).empty() && common_inks(page.scans[s], whole).empty()) {
      one_ink = one_ink || on_solids(page.scans[s], tracks[s]);
      wide[s].strips = whole.strips;
    }
  }
  scenes.main =
      make_scene(page.machine, page.scans, page.noise, region_mm, others, wide, options, page.before);
  if (one_ink) {
    scenes.one_ink =
        make_scene(page.machine, page.scans, page.noise, region_mm, others, tracks, options, page.before);
  }
  return scenes;
}

// Whether traces of inks that `before` leaves alone are explained better with what `after` adds. A contact or
// a scratch takes from all inks; what an earlier cause's model misses in its own ink does not. True where
// every trace shows an ink that is touched already.
bool others_agree(const Scene& scene, const InkState& before, const InkState& after, double misfit) {
  constexpr double kAgreement = 3;  // log units
  constexpr double kTouched = 1e-3;
  Scene others = scene;
  others.traces.clear();
  for (const Trace& trace : scene.traces) {
    bool touched = trace.ink < 0;
    for (std::size_t i = 0; i < trace.share.size() && i < before.kept.size(); ++i) {
      const auto& kept = before.kept[i];
      touched = touched || (trace.share[i] > 0.02 &&
                            std::any_of(kept.begin(), kept.end(), [](double k) { return k < 1 - kTouched; }));
    }
    if (!touched) others.traces.push_back(trace);
  }
  if (others.traces.empty()) return true;
  Evaluator evaluator(others);
  evaluator.set_state(before);
  const double without = evaluator.null_chi_square();
  evaluator.set_state(after);
  return 0.5 * (without - evaluator.null_chi_square()) > kAgreement * misfit;
}

// Whether a further cause explains what the causes before it missed, however little ink it moved: what a
// model misses at the edges of a strong cause takes no one cause's shape.
bool completes(const Round& last, const Round& before) {
  return last.misfit < kExplained && last.misfit * kBetterBy < before.misfit;
}

struct FoundRounds {
  std::vector<Round> rounds;
  bool last_is_on_trial = false;  // it counts only if all together explain the region
};

// Rounds of: which named cause explains best what is left? "Unknown" is heard at the end only: of two causes
// in one place, each alone misses by far.
FoundRounds find_rounds(const PageContext& page, Judges& judges, const streak::Region& region,
                        const DiagnoseOptions& options) {
  const Scene& scene = judges.main.scene();
  FoundRounds found;
  std::vector<Round>& rounds = found.rounds;
  InkState state = untouched(page.machine.layout, scene);
  double largest = 0;
  bool seam_taken = false;
  for (int k = 0; k < options.most_causes && !found.last_is_on_trial; ++k) {
    Round round = search_all(page, judges, state, region, options);
    if (k == 0 && best_evidence(round) < options.least_evidence) break;
    const Cause cause = likeliest_named(probabilities(round));
    if (k > 0 && log_evidence(round, cause) < options.further_evidence) break;
    // A seam has one gap: what is left of it is the model's own error.
    if (cause == Cause::seam_mismatch && seam_taken) break;
    seam_taken = seam_taken || cause == Cause::seam_mismatch;
    InkState next = state;
    apply(page, scene, round.found, cause, next);
    const double change = ink_moved(scene, state, next);
    // What a strong cause's model misses at its edges looks like a faint further cause.
    const bool slight = cause != Cause::dead_jet && change < kLeastFurther * largest;
    if (k > 0 && slight && !completes(round, rounds.back())) {
      if (likeliest(probabilities(rounds.back())) != Cause::unknown) break;
      found.last_is_on_trial = true;
    }
    const bool of_all_inks = cause == Cause::residue || cause == Cause::drum_scratch;
    if (k > 0 && of_all_inks && !others_agree(scene, state, next, round.misfit)) break;
    largest = std::max(largest, change);
    state = std::move(next);
    rounds.push_back(std::move(round));
  }
  return found;
}

// Each cause again, given all the others.
std::vector<Round> each_given_others(const PageContext& page, Judges& judges, const streak::Region& region,
                                     const DiagnoseOptions& options, std::vector<Round> rounds) {
  const Scene& scene = judges.main.scene();
  for (std::size_t k = 0; k < rounds.size(); ++k) {
    InkState others = untouched(page.machine.layout, scene);
    for (std::size_t j = 0; j < rounds.size(); ++j) {
      if (j != k) apply(page, scene, rounds[j].found, likeliest_named(probabilities(rounds[j])), others);
    }
    rounds[k] = search_all(page, judges, others, region, options);
  }
  return rounds;
}

// A few turns, until each has its own share of what the first was fitted to; given up where the first turn
// leaves far more than noise.
std::vector<Round> share_out(const PageContext& page, Judges& judges, const streak::Region& region,
                             const DiagnoseOptions& options, std::vector<Round> rounds) {
  constexpr double kHopeless = 2 * kExplained;
  for (int turn = 0; turn < kTrialTurns; ++turn) {
    rounds = each_given_others(page, judges, region, options, std::move(rounds));
    if (rounds.back().misfit > kHopeless) break;
  }
  return rounds;
}

bool all_explained(const std::vector<Round>& rounds) {
  return std::none_of(rounds.begin(), rounds.end(),
                      [](const Round& round) { return likeliest(probabilities(round)) == Cause::unknown; });
}

// The first round with the next likely cause instead, and what is then left explained anew: a cause that was
// fitted to two can hide the other one's share for good.
std::vector<Round> begin_otherwise(const PageContext& page, Judges& judges, const streak::Region& region,
                                   const DiagnoseOptions& options, Round first) {
  const Scene& scene = judges.main.scene();
  first.found.forget(likeliest_named(probabilities(first)));
  InkState state = untouched(page.machine.layout, scene);
  apply(page, scene, first.found, likeliest_named(probabilities(first)), state);
  Round second = search_all(page, judges, state, region, options);
  return {std::move(first), std::move(second)};
}

// A round that found one contact and nothing else.
Round round_of(const ResidueHypothesis& contact) {
  Round round;
  round.found.residue = {{contact}, 0};
  return round;
}

// Whether rounds explain so much of what `before` missed that another cause is worth its prior many times.
bool explains_more(const std::vector<Round>& rounds, const Round& before, double freedom) {
  constexpr double kGain = 30;  // log units
  return all_explained(rounds) &&
         0.5 * freedom * (before.misfit - rounds.back().misfit) > kGain * before.misfit;
}

// Two contacts where one was found that fits badly; empty where they do not explain more.
std::vector<Round> as_two_contacts(const PageContext& page, Judges& judges, const streak::Region& region,
                                   const DiagnoseOptions& options, const std::vector<Round>& rounds) {
  const Round& first = rounds.front();
  const double freedom = degrees_of_freedom(judges.main.scene());
  const bool poor = first.misfit > kPoor && rounds.back().misfit > kPoor;
  if (!poor || likeliest_named(probabilities(first)) != Cause::residue) return {};
  const auto [left, right] = split_contact(page.machine, judges.main, first.found.residue.best());
  auto settled = share_out(page, judges, region, options, {round_of(left), round_of(right)});
  const bool both = std::all_of(settled.begin(), settled.end(), [](const Round& round) {
    return likeliest_named(probabilities(round)) == Cause::residue;
  });
  // What the forward model misses of one strong contact, ink that spreads on the paper for one, a second
  // contact explains in part. Two that are there explain the region.
  return both && completes(settled.back(), rounds.back()) && explains_more(settled, rounds.back(), freedom)
             ? settled
             : std::vector<Round>{};
}

// Causes that together leave noise are all there. Haze shows on paper, which nothing else touches.
bool may_be_discrepancy(const std::vector<Round>& rounds, std::size_t k) {
  return k > 0 && rounds.back().misfit > kExplained &&
         likeliest_named(probabilities(rounds[k])) != Cause::blade_haze;
}

// Whether every further cause explains more than the causes before it are likely to miss.
bool beyond_discrepancy(const PageContext& page, const streak::Region& region, const DiagnoseOptions& options,
                        const std::vector<Round>& rounds) {
  if (!region.ink_lost) return true;
  for (std::size_t k = 1; k < rounds.size(); ++k) {
    if (!may_be_discrepancy(rounds, k)) continue;
    Round round = rounds[k];
    allow_discrepancy_before(page, options.priors, region.x_mm, round);
    if (best_evidence(round) < options.least_evidence) return false;
  }
  return true;
}

// Of one round at least. Causes that do not explain the region together do not explain it at all: then the
// first round stands alone, and says "unknown" when it must.
std::vector<Round> settle_together(const PageContext& page, Judges& judges, const streak::Region& region,
                                   const DiagnoseOptions& options, FoundRounds found) {
  std::vector<Round>& rounds = found.rounds;
  if (auto settled = as_two_contacts(page, judges, region, options, rounds); !settled.empty()) return settled;
  if (found.last_is_on_trial) {
    const auto try_from = [&](const std::vector<Round>& start) {
      auto settled = share_out(page, judges, region, options, start);
      const bool passed = all_explained(settled) && settled.back().misfit < kExplained;
      return passed ? settled : std::vector<Round>{};
    };
    if (auto settled = try_from(rounds); !settled.empty()) return settled;
    rounds.pop_back();
    const auto otherwise = begin_otherwise(page, judges, region, options, rounds.front());
    if (auto settled = try_from(otherwise); !settled.empty()) return settled;
  }
  if (rounds.size() < 2) return rounds;
  auto settled = each_given_others(page, judges, region, options, rounds);
  if (!all_explained(settled)) {
    rounds.resize(1);
    return rounds;
  }
  const auto seams = std::count_if(settled.begin(), settled.end(), [](const Round& round) {
    return likeliest_named(probabilities(round)) == Cause::seam_mismatch;
  });
  if (seams > 1) settled.resize(1);  // a seam has one gap
  return settled;
}

std::vector<Round> settle(const PageContext& page, Judges& judges, const streak::Region& region,
                          const DiagnoseOptions& options, FoundRounds found) {
  if (found.rounds.empty()) return {};
  const Round alone = found.rounds.front();
  auto settled = settle_together(page, judges, region, options, std::move(found));
  return beyond_discrepancy(page, region, options, settled) ? settled : std::vector<Round>{alone};
}

// `local`: damage most likely, whose shape no second cause would tell.
std::vector<Round> explain_in_rounds(const PageContext& page, Judges& judges, const streak::Region& region,
                                     DiagnoseOptions options, bool local) {
  if (local) options.most_causes = 1;
  FoundRounds found = find_rounds(page, judges, region, options);
  return local ? std::move(found.rounds) : settle(page, judges, region, options, std::move(found));
}

// A jet's comb lies between columns that keep their ink, and haze has skirts: they are told by other means.
bool must_show(const Explanation& e) {
  const Cause cause = likeliest(e.causes);
  return cause == Cause::residue || cause == Cause::drum_scratch || cause == Cause::unknown;
}

// Ink that lies twice is a seam's.
bool may_be_damage(const streak::Region& region) {
  return region.ink_lost || region.ink_added;
}

// Beside a region, of those that show on a small part of the sheet.
double other_places(const PageContext& page, const Extent& extent) {
  return std::max(0.0, page.damaged_places - (is_local(extent) ? 1 : 0));
}

// Nothing that anybody could be sent to.
bool is_nameless(const Explanation& e) {
  const Cause cause = likeliest(e.causes);
  return cause == Cause::unknown || cause == Cause::sheet_damage;
}

double least_evidence(std::size_t rounds, const DiagnoseOptions& options) {
  return rounds > 1 ? options.further_evidence : options.least_evidence;
}

// Log units, tempered like all others.
double beats_box(const Round& round) {
  const double box = round.found.scratch.least_chi_square(round.null_chi_square);
  return std::max(0.0, 0.5 * (box - round.misfit * round.freedom) / round.misfit);
}

Explanation explain(const Round& round) {
  Explanation e;
  e.causes = probabilities_or_nothing(round);
  e.found = round.found;
  e.found.each([](Cause, auto& hypotheses) { hypotheses.normalise(); });
  e.misfit = round.misfit;
  e.freedom = round.freedom;
  e.discrepancy = round.discrepancy;
  e.beats_box = beats_box(round);
  return e;
}

}  // namespace

std::vector<Explanation> diagnose_region(const PageContext& page, const std::vector<streak::Region>& regions,
                                         std::size_t index, const DiagnoseOptions& options) {
  const streak::Region& region = regions[index];
  const auto tracks = region_tracks(page.scans, region, options.scene.same_sheet);
  if (beyond_causes(page, region, options)) return {unexplained(page, region, tracks)};
  SceneOptions scene_options = options.scene;
  scene_options.threads = options.threads;
  const Scenes scenes = make_scenes(page, regions, index, tracks, scene_options);
  if (scenes.main.traces.empty()) return {};

  // Both scenes have the same cells, so one state serves them both.
  Judges judges(scenes, options.threads);
  const Extent extent = extent_of(page.scans, region, tracks, options.scene.same_sheet);
  std::vector<Round> rounds = explain_in_rounds(page, judges, region, options, is_local(extent));

  std::vector<Explanation> out;
  for (std::size_t k = 0; k < rounds.size(); ++k) {
    Round& round = rounds[k];
    if (region.ink_lost) {
      const bool further = may_be_discrepancy(rounds, k) || options.beside_stronger_mm;
      const auto& allow = further ? allow_discrepancy_before : allow_discrepancy;
      allow(page, options.priors, options.beside_stronger_mm.value_or(region.x_mm), round);
    }
    if (best_evidence(round) < least_evidence(rounds.size(), options)) continue;
    Explanation e = explain(round);
    e.z = region.z;
    e.tracks = tracks;
    describe_visible(page, scenes.main, region, e);
    if (may_be_damage(region)) weigh_damage(extent, other_places(page, extent), e);
    if (must_show(e) && !shows_what_it_claims(page.scans, e)) continue;
    if (!out.empty() && is_nameless(e)) continue;  // what a further cause leaves is the model's own error
    if (std::abs(e.loss) >= kLeastLoss) out.push_back(std::move(e));
  }
  return out;
}

}  // namespace scrapetrace::diagnose
