#include "diagnose/round.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/parallel.h"

namespace scrapetrace::diagnose {

namespace {

// Chance that a contact for part of a revolution covers just the patches of a single ink.
constexpr double kOneInkContact = 0.02;
// Misfit that the forward model may have on real prints before "unknown" is considered: chi square per degree
// of freedom, or a part of what "nothing is wrong" misses by.
constexpr double kTolerableMisfit = 4.0;
constexpr double kTolerablePart = 0.08;
constexpr double kCoderMisfit = 3.0;  // times as much where a lossy coder rounded what tells the noise
constexpr double kHaloMisfit = 6.0;   // where sharpening left halos
constexpr double kHaloPart = 0.25;    // where sharpening left halos, which grow with what they stand beside

constexpr std::array<Cause, kCauseCount> kAllCauses = {
    Cause::residue,      Cause::dead_jet,      Cause::drum_scratch, Cause::blade_haze,
    Cause::scanner_line, Cause::seam_mismatch, Cause::sheet_damage, Cause::unknown};

// exp(-chi^2 / 2) of every hypothesis raised to 1 / misfit: a model that fits badly says less.
template <class Fault>
void temper(Hypotheses<Fault>& found, double null_chi_square, double misfit) {
  for (auto& h : found.all) h.log_weight -= -0.5 * (h.chi_square - null_chi_square) * (1 - 1 / misfit);
  found.add_up();
}

// Light that wanders, ink that spreads and two heads that both stand a little off leave a seam's line another
// shape than a sharp step's. Where a gap that the layout's tolerance allows explains nearly what a contact or
// a scratch does, that shape is all that they explain better, so that it counts as fitting as well.
void credit_seam(const Layout& layout, double least_of_others, double null_chi_square,
                 Hypotheses<SeamFault>& seam) {
  constexpr double kNearly = 0.8;  // of what the others explain
  constexpr double kSigmas = 2.5;
  const double allowed_mm = kSigmas * std::numbers::sqrt2 * layout.tolerance.place_mm;
  const auto allowed = [&](const SeamHypothesis& c) {
    return std::abs(c.gap_mm - c.by_layout.gap_mm()) <= allowed_mm;
  };
  double least = null_chi_square;
  for (const SeamHypothesis& c : seam.all) {
    if (allowed(c)) least = std::min(least, c.chi_square);
  }
  const double short_of = least - least_of_others;
  if (short_of <= 0 || null_chi_square - least < kNearly * (null_chi_square - least_of_others)) return;
  for (SeamHypothesis& c : seam.all) {
    if (!allowed(c)) continue;
    c.chi_square -= short_of;
    c.log_weight += 0.5 * short_of;
  }
  seam.add_up();
}

// Whether there are traces, and none of them shows an ink that the state takes from. What a cause's model
// misses in its own ink would else pass for one more contact with that ink alone.
bool leaves_alone(const InkState& state, const Scene& scene) {
  constexpr double kTouched = 1e-3;
  for (const Trace& trace : scene.traces) {
    if (trace.ink < 0) continue;
    const auto& kept = state.kept[static_cast<std::size_t>(trace.ink)];
    if (std::any_of(kept.begin(), kept.end(), [](double k) { return k < 1 - kTouched; })) return false;
  }
  return !scene.traces.empty();
}

// Whether it is known which jet laid a column: else a jet's comb is not where it is looked for.
bool jets_in_place(const PageContext& page, const SceneOptions& options) {
  return options.jets_in_place &&
         std::all_of(page.scans.begin(), page.scans.end(),
                     [](const profile::PreparedScan& scan) { return scan.jets_in_place; });
}

// Chi square that a named cause may miss a page by before "unknown" is considered.
double tolerable(const PageContext& page, double freedom, double null_chi_square) {
  const auto any = [&](auto is) { return std::any_of(page.scans.begin(), page.scans.end(), is); };
  const bool rounded = any([](const profile::PreparedScan& scan) { return scan.smear_mm > 0; });
  const bool sharpened = any([](const profile::PreparedScan& scan) { return !scan.light_adds_up; });
  return std::max(kTolerableMisfit * (rounded ? kCoderMisfit : 1) * freedom,
                  (sharpened ? kHaloPart : kTolerablePart) * null_chi_square);
}

}  // namespace

double enhanced_misfit(const PageContext& page) {
  const auto any = [&](auto is) { return std::any_of(page.scans.begin(), page.scans.end(), is); };
  if (any([](const profile::PreparedScan& scan) { return !scan.light_adds_up; })) return kHaloMisfit;
  return any([](const profile::PreparedScan& scan) { return scan.smear_mm > 0; }) ? kCoderMisfit : 1;
}

Round search_all(const PageContext& page, Judges& judges, const InkState& state, const streak::Region& region,
                 const DiagnoseOptions& options) {
  const Interval region_mm = region.x_mm;
  judges.main.set_state(state);
  const SearchContext context{page.machine, judges.main, region_mm, options.priors, options.threads};
  Round round;
  FoundCauses& found = round.found;
  if (region.ink_lost) {
    judges.main.prepare(unshifted(judges.main.scene()));
    side_by_side(
        options.threads, [&] { found.residue = search_residue(context); },
        [&] { found.jet = search_jet(context); }, [&] { found.scratch = search_scratch(context); });
  }
  if (region.ink_added) found.haze = search_haze(context);
  if (region.ink_lost || !region.ink_added) found.seam = search_seam(context, found.scratch);
  const double null = judges.main.null_chi_square();
  credit_seam(page.machine.layout, found.scratch.least_chi_square(found.residue.least_chi_square(null)), null,
              found.seam);
  double best = null;
  found.each([&](Cause, const auto& hypotheses) { best = hypotheses.least_chi_square(best); });
  const double freedom = std::max(1.0, degrees_of_freedom(judges.main.scene()));
  round.misfit = std::max(1.0, best / freedom);
  round.freedom = freedom;
  round.null_chi_square = null;
  if (region.ink_lost && jets_in_place(page, options.scene) && leaves_alone(state, judges.one_ink.scene())) {
    judges.one_ink.set_state(state);
    const SearchContext alone{page.machine, judges.one_ink, region_mm, options.priors, options.threads};
    Hypotheses<ResidueFault> partial = search_residue(alone);
    const double alone_null = judges.one_ink.null_chi_square();
    for (ResidueHypothesis& h : partial.all) {
      h.chi_square += null - alone_null;  // the other inks stay as they are
      h.log_weight += std::log(kOneInkContact);
      found.residue.all.push_back(h);
    }
  }
  found.each([&](Cause, auto& hypotheses) { temper(hypotheses, null, round.misfit); });
  // A free profile would fit down to the noise at three log units a column: worth it only when every named
  // cause misses by far more than the forward model's own imperfection.
  const double columns = (region_mm.to_mm - region_mm.from_mm) / page.machine.layout.px_mm() + 1;
  const double free_fit = std::min(null, tolerable(page, freedom, null));
  round.log_unknown = std::log(options.priors.unknown) + 0.5 * (null - free_fit) / round.misfit -
                      3 * std::min(columns, freedom / 4);
  return round;
}

// A scanner's line was taken out of the raster before, and damage is weighed at the end, by how much of the
// sheet shows it (sheet_damage.h): they have no evidence here.
double log_evidence(const Round& round, Cause cause) {
  return cause == Cause::unknown ? round.log_unknown : round.found.log_evidence(cause);
}

std::array<double, kCauseCount> probabilities(const Round& round) {
  std::array<double, kCauseCount> p{};
  double most = -1e300;
  for (Cause c : kAllCauses) most = std::max(most, log_evidence(round, c));
  double sum = 0;
  for (Cause c : kAllCauses) sum += std::exp(log_evidence(round, c) - most);
  for (Cause c : kAllCauses) p[static_cast<std::size_t>(c)] = std::exp(log_evidence(round, c) - most) / sum;
  return p;
}

std::array<double, kCauseCount> probabilities_or_nothing(const Round& round) {
  const double best = best_evidence(round);
  double sum = 0;  // of the odds, over the best one's
  for (const Cause c : kAllCauses) sum += std::exp(log_evidence(round, c) - best);
  const double something = sum / (sum + std::exp(-best));
  auto out = probabilities(round);
  for (double& p : out) p *= something;
  out[static_cast<std::size_t>(Cause::unknown)] += 1 - something;
  return out;
}

double best_evidence(const Round& round) {
  double most = -1e300;
  for (Cause c : kAllCauses) most = std::max(most, log_evidence(round, c));
  return most;
}

Cause likeliest(const std::array<double, kCauseCount>& p) {
  return static_cast<Cause>(std::max_element(p.begin(), p.end()) - p.begin());
}

Cause likeliest_named(std::array<double, kCauseCount> p) {
  p[static_cast<std::size_t>(Cause::sheet_damage)] = -1;
  p[static_cast<std::size_t>(Cause::unknown)] = -1;
  return likeliest(p);
}

void apply(const PageContext& page, const Scene& scene, const FoundCauses& found, Cause cause,
           InkState& state) {
  found.found_of(cause,
                 [&](const auto& hypotheses) { apply(page.machine, scene, hypotheses.best(), state); });
}

}  // namespace scrapetrace::diagnose
