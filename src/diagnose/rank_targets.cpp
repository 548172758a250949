#include "diagnose/rank_targets.h"

#include <algorithm>
#include <cmath>

#include "diagnose/tell_apart.h"
#include "geometry/frames.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kRivalLeast = 0.02;

// What the posterior of the streaks says about one zone.
struct Belief {
  double none = 1;  // probability that no streak comes from here
  double weight = 0;
  double x = 0;
  double xx = 0;
  double registration = 0;  // variance, times weight
  std::vector<std::size_t> streaks;
};

struct Share {
  double probability = 0;
  double x = 0;
  double xx = 0;
};

std::vector<Share> shares(const Layout& layout, const std::vector<geometry::TargetZone>& zones,
                          const Explanation& e, double elsewhere) {
  std::vector<Share> out(zones.size());
  const double residue = e.causes[static_cast<std::size_t>(Cause::residue)];
  for (const ResidueCell& cell : e.residue.cells) {
    const double weight = residue * std::exp(cell.log_weight);
    if (weight < 1e-9) continue;
    const double density = residue_density(layout, zones, cell.carriage, cell.x_mm, cell.width_mm, elsewhere);
    for (std::size_t z = 0; z < zones.size(); ++z) {
      if (layout.heads[zones[z].head].carriage != cell.carriage) continue;
      const double from = std::max(cell.x_mm, zones[z].from_mm);
      const double to = std::min(cell.x_mm + cell.width_mm, zones[z].to_mm);
      if (to <= from) continue;
      const double part = (1 - elsewhere) * zones[z].prior_density * (to - from) / cell.width_mm / density;
      const double middle = 0.5 * (from + to);
      out[z].probability += weight * part;
      out[z].x += weight * part * middle;
      out[z].xx += weight * part * middle * middle;
    }
  }
  return out;
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
  t.over_jets = t.outward_mm < 0;
  t.streaks = belief.streaks;
  return t;
}

}  // namespace

bool share_a_streak(const Target& a, const Target& b) {
  return std::any_of(a.streaks.begin(), a.streaks.end(), [&](std::size_t s) {
    return std::find(b.streaks.begin(), b.streaks.end(), s) != b.streaks.end();
  });
}

std::vector<StreakTarget> targets_of(const Layout& layout, const std::vector<geometry::TargetZone>& zones,
                                     const Explanation& explanation, double elsewhere, double least) {
  const auto parts = shares(layout, zones, explanation, elsewhere);
  std::vector<StreakTarget> out;
  for (std::size_t z = 0; z < zones.size(); ++z) {
    if (parts[z].probability < least) continue;
    const Zone& zone = layout.zones[zones[z].zone];
    out.push_back({layout.heads[zones[z].head].name, zone.side, zone.surface, parts[z].probability});
  }
  std::stable_sort(out.begin(), out.end(), [](const StreakTarget& a, const StreakTarget& b) {
    return a.probability > b.probability;
  });
  return out;
}

std::vector<Target> rank_targets(const Layout& layout, const std::vector<geometry::TargetZone>& zones,
                                 const std::vector<Explanation>& explanations,
                                 const std::vector<std::size_t>& streak_ids, double elsewhere,
                                 const std::vector<double>& registration_mm, double least) {
  std::vector<Belief> beliefs(zones.size());
  for (std::size_t k = 0; k < explanations.size(); ++k) {
    const auto parts = shares(layout, zones, explanations[k], elsewhere);
    for (std::size_t z = 0; z < zones.size(); ++z) {
      if (parts[z].probability <= 0) continue;
      beliefs[z].none *= 1 - std::min(1.0, parts[z].probability);
      beliefs[z].weight += parts[z].probability;
      beliefs[z].x += parts[z].x;
      beliefs[z].xx += parts[z].xx;
      beliefs[z].registration += parts[z].probability * registration_mm[k] * registration_mm[k];
      if (parts[z].probability >= least) beliefs[z].streaks.push_back(streak_ids[k]);
    }
  }
  std::vector<std::pair<Target, std::size_t>> ranked;
  for (std::size_t z = 0; z < zones.size(); ++z) {
    if (1 - beliefs[z].none >= least) ranked.emplace_back(make_target(layout, zones[z], beliefs[z]), z);
  }
  std::stable_sort(ranked.begin(), ranked.end(),
                   [](const auto& a, const auto& b) { return a.first.probability > b.first.probability; });
  std::vector<Target> out;
  for (const auto& [target, z] : ranked) {
    out.push_back(target);
    for (const auto& [other, w] : ranked) {
      if (z == w || other.probability < kRivalLeast || !share_a_streak(target, other)) continue;
      out.back().rivals.push_back(
          {other.head, other.side, other.surface, other.probability, tell_apart(layout, zones[z], zones[w])});
    }
  }
  return out;
}

}  // namespace scrapetrace::diagnose
