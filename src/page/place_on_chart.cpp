#include "page/place_on_chart.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>
#include <numbers>
#include <utility>
#include <vector>

#include "base/parallel.h"
#include "page/chart_agreement.h"
#include "page/chart_symmetry.h"

namespace scrapetrace::page {

namespace {

constexpr double kCell_mm = 0.75;  // of the edge profiles
constexpr std::size_t kShiftsKept = 3;
constexpr double kTie = 0.0005;        // of agreement; noise and a streak can make this difference
constexpr double kLeastWeight = 0.01;  // relative to the best orientation
// Moving a placement by a millimetre never gains this much agreement.
constexpr double kHopeless = 0.3;
constexpr double kGood = 0.8;

// Signed edge strength along one axis, per channel; index 0 is at `origin_mm`.
struct EdgeProfile {
  double origin_mm = 0;
  std::vector<std::array<double, 3>> step;
};

void deposit(EdgeProfile& profile, double at_mm, const std::array<double, 3>& step) {
  const double position = (at_mm - profile.origin_mm) / kCell_mm - 0.5;
  const auto i = static_cast<std::ptrdiff_t>(std::floor(position));
  if (i < 0 || i + 1 >= static_cast<std::ptrdiff_t>(profile.step.size())) return;
  const double fraction = position - std::floor(position);
  for (std::size_t c = 0; c < 3; ++c) {
    profile.step[static_cast<std::size_t>(i)][c] += step[c] * (1 - fraction);
    profile.step[static_cast<std::size_t>(i) + 1][c] += step[c] * fraction;
  }
}

EdgeProfile empty_profile(double half_length_mm) {
  EdgeProfile profile;
  profile.origin_mm = -half_length_mm;
  profile.step.resize(static_cast<std::size_t>(std::ceil(2 * half_length_mm / kCell_mm)));
  return profile;
}

// The chart's edges about the sheet's centre; `axis` 0 is x, 1 is y.
EdgeProfile chart_edges(const Layout& layout, const Chart& chart, bool grey, std::size_t axis) {
  EdgeProfile profile = empty_profile(chart.sheet_mm[axis] / 2 + 5);
  for (const Patch& patch : chart.patches) {
    const Rgb linear = patch_linear(layout, patch, grey);
    const auto& here = axis == 0 ? patch.x_mm : patch.y_mm;
    const auto& other = axis == 0 ? patch.y_mm : patch.x_mm;
    std::array<double, 3> down{};
    for (std::size_t c = 0; c < 3; ++c) down[c] = (linear[c] - 1) * (other[1] - other[0]);
    deposit(profile, here[0] - chart.sheet_mm[axis] / 2, down);
    for (double& value : down) value = -value;
    deposit(profile, here[1] - chart.sheet_mm[axis] / 2, down);
  }
  return profile;
}

// The raster's edges about its centre, in axes corrected for skew.
EdgeProfile seen_edges(const CoarseMap& map, const PlaceOptions& options, std::size_t axis) {
  const double cell_u_mm = map.px_per_cell_u / options.px_per_mm_x;
  const double cell_v_mm = map.px_per_cell_v / options.px_per_mm_y;
  const double half = 0.5 * std::hypot(map.width * cell_u_mm, map.height * cell_v_mm) + 5;
  EdgeProfile profile = empty_profile(half);
  const double angle = options.angle_deg * std::numbers::pi / 180;
  const double ca = std::cos(angle);
  const double sa = std::sin(angle);
  for (int j = 0; j + 1 < map.height; ++j) {
    for (int i = 0; i + 1 < map.width; ++i) {
      const auto& here = map.at(i, j);
      const auto& next = axis == 0 ? map.at(i + 1, j) : map.at(i, j + 1);
      std::array<double, 3> step{};
      double largest = 0;
      for (std::size_t c = 0; c < 3; ++c) {
        step[c] = static_cast<double>(next[c]) - static_cast<double>(here[c]);
        largest = std::max(largest, std::abs(step[c]));
      }
      if (largest < 0.02) continue;
      const double u = (i + (axis == 0 ? 1.0 : 0.5) - map.width / 2.0) * cell_u_mm;
      const double v = (j + (axis == 0 ? 0.5 : 1.0) - map.height / 2.0) * cell_v_mm;
      deposit(profile, axis == 0 ? ca * u + sa * v : -sa * u + ca * v, step);
    }
  }
  return profile;
}

// A chart's profile reversed and scaled to the grid of the seen one, without the many places that have no
// edge.
struct ChartEdge {
  int at = 0;  // on the grid
  std::array<double, 3> step{};
};

std::vector<ChartEdge> edges_lying(const EdgeProfile& chart, const EdgeProfile& seen, double sign,
                                   double scale) {
  EdgeProfile turned = empty_profile(-seen.origin_mm);
  for (std::size_t i = 0; i < chart.step.size(); ++i) {
    std::array<double, 3> step = chart.step[i];
    for (double& value : step) value *= sign;
    deposit(turned, (chart.origin_mm + (static_cast<double>(i) + 0.5) * kCell_mm) * sign * scale, step);
  }
  std::vector<ChartEdge> out;
  for (std::size_t i = 0; i < turned.step.size(); ++i) {
    const auto& step = turned.step[i];
    if (step[0] != 0 || step[1] != 0 || step[2] != 0) out.push_back({static_cast<int>(i), step});
  }
  return out;
}

// seen(t) ~ chart((t - shift) * sign / scale): the best shifts, in mm at nominal scale.
std::vector<double> best_shifts(const EdgeProfile& chart, const EdgeProfile& seen, double sign, double scale,
                                double largest_shift_mm) {
  std::vector<std::pair<double, double>> scored;
  const int reach = static_cast<int>(largest_shift_mm / kCell_mm);
  const auto edges = edges_lying(chart, seen, sign, scale);
  const auto n = static_cast<int>(seen.step.size());
  for (int shift = -reach; shift <= reach; ++shift) {
    double sum = 0;
    for (const ChartEdge& edge : edges) {
      if (edge.at + shift < 0 || edge.at + shift >= n) continue;
      const auto& a = edge.step;
      const auto& b = seen.step[static_cast<std::size_t>(edge.at + shift)];
      sum += a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    }
    scored.emplace_back(sum, shift * kCell_mm);
  }
  std::vector<double> kept;
  for (std::size_t i = 1; i + 1 < scored.size(); ++i) {
    if (scored[i].first > scored[i - 1].first && scored[i].first >= scored[i + 1].first)
      kept.push_back(static_cast<double>(i));
  }
  std::sort(kept.begin(), kept.end(), [&](double a, double b) {
    return scored[static_cast<std::size_t>(a)].first > scored[static_cast<std::size_t>(b)].first;
  });
  if (kept.size() > kShiftsKept) kept.resize(kShiftsKept);
  for (double& k : kept) k = scored[static_cast<std::size_t>(k)].second;
  return kept;
}

RasterFromSheet place(const CoarseMap& map, const Chart& chart, const PlaceOptions& options, bool flip_u,
                      bool flip_v, double scale, double shift_x_mm, double shift_y_mm) {
  const double angle = options.angle_deg * std::numbers::pi / 180;
  const double ca = std::cos(angle);
  const double sa = std::sin(angle);
  const double u_mm = ca * shift_x_mm - sa * shift_y_mm;
  const double v_mm = sa * shift_x_mm + ca * shift_y_mm;
  return make_raster_from_sheet(options.px_per_mm_x * scale, options.px_per_mm_y * scale, flip_u, flip_v,
                                angle,
                                {map.width * map.px_per_cell_u / 2 + u_mm * options.px_per_mm_x,
                                 map.height * map.px_per_cell_v / 2 + v_mm * options.px_per_mm_y},
                                {chart.sheet_mm[0] / 2, chart.sheet_mm[1] / 2});
}

// Hill climbing in steps; does not retry where it came from.
template <class Score>
void climb(CoarsePlacement& place, std::initializer_list<double> steps_mm, const Score& score) {
  constexpr std::array<std::array<double, 2>, 4> kTowards = {{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}};
  constexpr std::size_t kNowhere = 4;
  const auto opposite = [](std::size_t towards) { return towards ^ 1U; };
  place.agreement = score(place.map);
  for (const double step_mm : steps_mm) {
    std::size_t back = kNowhere;
    std::size_t tried = 0;  // since the last move
    for (std::size_t k = 0; tried < kTowards.size(); k = (k + 1) % kTowards.size()) {
      ++tried;
      if (k == back) continue;
      const double dx = kTowards[k][0] * step_mm;
      const double dy = kTowards[k][1] * step_mm;
      RasterFromSheet next = place.map;
      next.u0 += next.ux * dx + next.uy * dy;
      next.v0 += next.vx * dx + next.vy * dy;
      const double agrees = score(next);
      if (agrees <= place.agreement + 1e-6) continue;
      place.map = next;
      place.agreement = agrees;
      back = opposite(k);
      tried = 0;
    }
  }
}

// Orientations that the chart cannot distinguish get equal agreement: differences come from search, noise or
// a streak and are no evidence.
void agree_alike(const Chart& chart, const std::vector<SheetOrientation>& ways,
                 std::vector<CoarsePlacement>& found) {
  const std::vector<CoarsePlacement> before = found;
  for (std::size_t k = 0; k < found.size(); ++k) {
    for (std::size_t j = 0; j < found.size(); ++j) {
      if (is_symmetric_when_turned(chart, ways[k].flip_u != ways[j].flip_u, ways[k].flip_v != ways[j].flip_v))
        found[k].agreement = std::max(found[k].agreement, before[j].agreement);
    }
  }
}

// Posterior of the orientations, likeliest first. Drops an orientation for poor agreement, never for a low
// prior: the jets may still support it.
std::vector<CoarsePlacement> weigh(const std::vector<CoarsePlacement>& found,
                                   const std::vector<SheetOrientation>& ways) {
  double best = -2;
  for (const CoarsePlacement& place : found) best = std::max(best, place.agreement);
  std::vector<CoarsePlacement> kept;
  double sum = 0;
  for (std::size_t k = 0; k < found.size(); ++k) {
    const double weight = std::exp((found[k].agreement - best) / kTie);
    if (weight < kLeastWeight) continue;
    kept.push_back(found[k]);
    kept.back().probability = ways[k].prior * weight;
    sum += kept.back().probability;
  }
  for (CoarsePlacement& place : kept) place.probability /= sum;
  std::stable_sort(kept.begin(), kept.end(), [](const CoarsePlacement& a, const CoarsePlacement& b) {
    return a.probability > b.probability;
  });
  return kept;
}

// A small sheet on a large bed may lie in a corner of it.
double largest_shift_mm(const CoarseMap& map, const Chart& chart, const PlaceOptions& options) {
  const double play_x = map.width * map.px_per_cell_u / options.px_per_mm_x - chart.sheet_mm[0];
  const double play_y = map.height * map.px_per_cell_v / options.px_per_mm_y - chart.sheet_mm[1];
  return options.largest_shift_mm + std::max({0.0, play_x, play_y}) / 2;
}

// Edge profiles of a chart and of a raster that may show it.
struct Profiles {
  EdgeProfile chart_x;
  EdgeProfile chart_y;
  EdgeProfile seen_x;
  EdgeProfile seen_y;
};

// Of the shifts and scales that the profiles suggest, the one with the best rough agreement.
CoarsePlacement best_of_way(const CoarseMap& map, const Chart& chart, const Profiles& profiles,
                            const ChartAgreement& agreement, const SheetOrientation& way,
                            const PlaceOptions& options) {
  std::vector<double> scales = {1.0};
  if (!options.scale_known) {
    scales.clear();
    for (int k = -20; k <= 8; ++k) scales.push_back(1 + 0.005 * k);
  }
  const double reach_mm = largest_shift_mm(map, chart, options);
  CoarsePlacement best{{}, -2, 0, 1};
  for (const double scale : scales) {
    const auto shifts_x =
        best_shifts(profiles.chart_x, profiles.seen_x, way.flip_u ? -1 : 1, scale, reach_mm);
    const auto shifts_y =
        best_shifts(profiles.chart_y, profiles.seen_y, way.flip_v ? -1 : 1, scale, reach_mm);
    for (const double sx : shifts_x) {
      for (const double sy : shifts_y) {
        const RasterFromSheet candidate = place(map, chart, options, way.flip_u, way.flip_v, scale, sx, sy);
        const double agrees = agreement.roughly(candidate);
        if (agrees > best.agreement) best = {candidate, agrees, 0, scale};
      }
    }
  }
  return best;
}

}  // namespace

std::vector<CoarsePlacement> place_on_chart(const CoarseMap& map, const Layout& layout, const Chart& chart,
                                            bool grey, const PlaceOptions& options) {
  if (map.width < 2 || map.height < 2 || chart.patches.empty()) return {};
  Profiles profiles{chart_edges(layout, chart, grey, 0), chart_edges(layout, chart, grey, 1), {}, {}};
  for_each_part(2, options.threads, [&](std::size_t axis) {
    (axis == 0 ? profiles.seen_x : profiles.seen_y) = seen_edges(map, options, axis);
  });
  const ChartAgreement agreement(map, layout, chart, grey);
  std::vector<CoarsePlacement> found(options.ways.size());
  for_each_part(found.size(), options.threads, [&](std::size_t k) {
    found[k] = best_of_way(map, chart, profiles, agreement, options.ways[k], options);
  });
  double most = -2;
  for (const CoarsePlacement& place : found) most = std::max(most, place.agreement);
  for_each_part(found.size(), options.threads, [&](std::size_t k) {
    CoarsePlacement& place = found[k];
    if (most > kGood && place.agreement < most - kHopeless) return;
    climb(place, {0.8, 0.4}, [&](const RasterFromSheet& there) { return agreement.roughly(there); });
    climb(place, {0.4, 0.2}, [&](const RasterFromSheet& there) { return agreement.of(there); });
  });
  agree_alike(chart, options.ways, found);
  return weigh(found, options.ways);
}

double agreement_with_chart(const CoarseMap& map, const Layout& layout, const Chart& chart, bool grey,
                            const RasterFromSheet& place) {
  return ChartAgreement(map, layout, chart, grey).of(place);
}

}  // namespace scrapetrace::page
