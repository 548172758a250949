#include "targets/rank_targets.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/frames.h"
#include "targets/tell_apart.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kRivalLeast = 0.02;
constexpr double kWidened = 2;     // standard deviations that a contact may reach further than expected
constexpr double kBearing = 0.1;   // of the best one's probability: fainter support says nothing of the place
constexpr double kClear_mm = 0.5;  // as near as a hand may come to a jet; common practice, no source

// Moments of one end of a contact, times their weight.
struct Ends {
  double x = 0;
  double xx = 0;
};

// How far a whole contact reaches, outward distances.
struct Reach {
  double probability = 0;
  double inner_mm = 0;  // widened
  double outer_mm = 0;  // as expected
  double sigma_mm = 0;  // of the inner end
};

// What the posterior of the streaks says about one zone.
struct Belief {
  double none = 1;  // probability that no streak comes from here
  double weight = 0;
  double x = 0;
  double xx = 0;
  double registration = 0;  // variance, times weight
  std::vector<std::size_t> streaks;
  std::vector<Reach> reaches;
};

struct Share {
  double probability = 0;
  double x = 0;
  double xx = 0;
  std::array<Ends, 2> ends;  // of the whole contact, left and right
};

std::vector<Share> shares(const geometry::Machine& machine, const Explanation& e, double elsewhere) {
  std::vector<Share> out(machine.zones.size());
  const double residue = e.causes[static_cast<std::size_t>(Cause::residue)];
  for (const ResidueHypothesis& cell : e.found.residue.all) {
    const double weight = residue * std::exp(cell.log_weight);
    if (weight < 1e-9) continue;
    const double density = residue_density(machine, cell.carriage, cell.x_mm, cell.width_mm, elsewhere);
    for (std::size_t z = 0; z < machine.zones.size(); ++z) {
      if (machine.layout.heads[machine.zones[z].head].carriage != cell.carriage) continue;
      const double from = std::max(cell.x_mm, machine.zones[z].from_mm);
      const double to = std::min(cell.x_mm + cell.width_mm, machine.zones[z].to_mm);
      if (to <= from) continue;
      const double part =
          (1 - elsewhere) * machine.zones[z].prior_density * (to - from) / cell.width_mm / density;
      const double middle = 0.5 * (from + to);
      out[z].probability += weight * part;
      out[z].x += weight * part * middle;
      out[z].xx += weight * part * middle * middle;
      for (std::size_t end = 0; end < 2; ++end) {
        const double x = cell.x_mm + static_cast<double>(end) * cell.width_mm;
        out[z].ends[end].x += weight * part * x;
        out[z].ends[end].xx += weight * part * x * x;
      }
    }
  }
  return out;
}

// Of the contact behind one streak, if it is here.
Reach reach_of(const Layout& layout, const geometry::TargetZone& where, const Share& share,
               double registration_mm) {
  const Head& head = layout.heads[where.head];
  const Side stencilled = layout.zones[where.zone].side;
  const bool jets_on_right = geometry::drum_side(head, stencilled) == Side::left;
  const auto outward = [&](const Ends& end) {
    return geometry::outward_from_drum(layout, head, stencilled, end.x / share.probability);
  };
  const Ends& inner = share.ends[jets_on_right ? 1 : 0];
  const double mean = inner.x / share.probability;
  const double spread = std::sqrt(std::max(0.0, inner.xx / share.probability - mean * mean));
  const double sigma_mm = std::hypot(spread, layout.px_mm() / std::sqrt(12.0), registration_mm);
  return {share.probability, outward(inner) - kWidened * sigma_mm, outward(share.ends[jets_on_right ? 0 : 1]),
          sigma_mm};
}

// Whether any of the contacts that the target rests on may reach among the jets, and what of them may be
// touched all the same: what lies beyond the jets by more than a hand and the place's own error may stray.
void warn_of_jets(const std::vector<Reach>& reaches, Target& target) {
  double likeliest = 0;
  for (const Reach& reach : reaches) likeliest = std::max(likeliest, reach.probability);
  double inner_mm = 1e300;
  double outer_mm = -1e300;
  double stray_mm = kClear_mm;
  for (const Reach& reach : reaches) {
    if (reach.probability < kBearing * likeliest) continue;
    inner_mm = std::min(inner_mm, reach.inner_mm);
    outer_mm = std::max(outer_mm, reach.outer_mm);
    stray_mm = std::max(stray_mm, kWidened * reach.sigma_mm);
  }
  target.over_jets = inner_mm < 0;
  const double from_mm = std::ceil(10 * stray_mm - 1e-6) / 10;
  if (target.over_jets && outer_mm > from_mm) target.touch_from_mm = from_mm;
}

Target make_target(const Layout& layout, const geometry::TargetZone& where, const Belief& belief) {
  const Head& head = layout.heads[where.head];
  const Zone& zone = layout.zones[where.zone];
  Target t;
  t.head = head.name;
  t.side = zone.side;
  t.surface = zone.surface;
  t.probability = 1 - belief.none;
  t.x_drum_mm = belief.x / belief.weight;
  const double spread = std::sqrt(std::max(0.0, belief.xx / belief.weight - t.x_drum_mm * t.x_drum_mm));
  t.x_sigma_mm =
      std::hypot(spread, layout.px_mm() / std::sqrt(12.0), std::sqrt(belief.registration / belief.weight));
  t.x_sheet_mm = geometry::SheetFromDrum(layout).sheet_x(t.x_drum_mm);
  t.outward_mm = geometry::outward_from_drum(layout, head, zone.side, t.x_drum_mm);
  t.effort_min = zone.effort_min;
  warn_of_jets(belief.reaches, t);
  t.streaks = belief.streaks;
  return t;
}

}  // namespace

bool share_a_streak(const Target& a, const Target& b) {
  return std::any_of(a.streaks.begin(), a.streaks.end(), [&](std::size_t s) {
    return std::find(b.streaks.begin(), b.streaks.end(), s) != b.streaks.end();
  });
}

std::vector<StreakTarget> targets_of(const geometry::Machine& machine, const Explanation& explanation,
                                     double elsewhere, double least) {
  const auto parts = shares(machine, explanation, elsewhere);
  std::vector<StreakTarget> out;
  for (std::size_t z = 0; z < machine.zones.size(); ++z) {
    if (parts[z].probability < least) continue;
    const Zone& zone = machine.layout.zones[machine.zones[z].zone];
    out.push_back(
        {machine.layout.heads[machine.zones[z].head].name, zone.side, zone.surface, parts[z].probability});
  }
  std::stable_sort(out.begin(), out.end(), [](const StreakTarget& a, const StreakTarget& b) {
    return a.probability > b.probability;
  });
  return out;
}

std::vector<Target> rank_targets(const geometry::Machine& machine,
                                 const std::vector<Explanation>& explanations,
                                 const std::vector<std::size_t>& streak_ids, double elsewhere,
                                 const std::vector<double>& registration_mm, double least) {
  std::vector<Belief> beliefs(machine.zones.size());
  for (std::size_t k = 0; k < explanations.size(); ++k) {
    const auto parts = shares(machine, explanations[k], elsewhere);
    for (std::size_t z = 0; z < machine.zones.size(); ++z) {
      if (parts[z].probability <= 0) continue;
      beliefs[z].none *= 1 - std::min(1.0, parts[z].probability);
      beliefs[z].weight += parts[z].probability;
      beliefs[z].x += parts[z].x;
      beliefs[z].xx += parts[z].xx;
      beliefs[z].registration += parts[z].probability * registration_mm[k] * registration_mm[k];
      beliefs[z].reaches.push_back(reach_of(machine.layout, machine.zones[z], parts[z], registration_mm[k]));
      if (parts[z].probability >= least) beliefs[z].streaks.push_back(streak_ids[k]);
    }
  }
  std::vector<std::pair<Target, std::size_t>> ranked;
  for (std::size_t z = 0; z < machine.zones.size(); ++z) {
    if (1 - beliefs[z].none >= least)
      ranked.emplace_back(make_target(machine.layout, machine.zones[z], beliefs[z]), z);
  }
  std::stable_sort(ranked.begin(), ranked.end(),
                   [](const auto& a, const auto& b) { return a.first.probability > b.first.probability; });
  std::vector<Target> out;
  for (const auto& [target, z] : ranked) {
    out.push_back(target);
    for (const auto& [other, w] : ranked) {
      if (z == w || other.probability < kRivalLeast || !share_a_streak(target, other)) continue;
      out.back().rivals.push_back({other.head, other.side, other.surface, other.probability,
                                   tell_apart(machine.layout, machine.zones[z], machine.zones[w])});
    }
  }
  return out;
}

}  // namespace scrapetrace::diagnose
