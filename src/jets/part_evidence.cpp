#include "jets/part_evidence.h"

#include <algorithm>
#include <cmath>

#include "base/intervals.h"
#include "base/parallel.h"
#include "geometry/frames.h"
#include "jets/phase.h"

namespace scrapetrace::jets {

namespace {
constexpr double kPartLength_mm = 10;
constexpr double kMoreStretch = 0.0005;  // than was found
constexpr int kRefinements = 3;
constexpr double kFewestSamples = 100;  // of a part, over all inks
constexpr double kScatter = 0.02;       // of shares explained, part by part, on pages where both ways are one
constexpr double kOfMissed = 0.1;       // the same, of what neither explains
constexpr double kMost = 2;             // log units that a part may say

// Both ways' variances: an estimate at a worse place takes jets for noise.
std::vector<JetData::Ink> same_inks(const JetData& a, const JetData& b) {
  std::vector<JetData::Ink> out;
  if (a.inks().size() != b.inks().size()) return out;
  for (std::size_t k = 0; k < a.inks().size(); ++k) {
    const JetData::Ink& one = a.inks()[k];
    const JetData::Ink& other = b.inks()[k];
    if (one.ink != other.ink) return {};
    out.push_back({one.ink, std::min(one.noise_variance, other.noise_variance),
                   std::max(one.jet_variance, other.jet_variance)});
  }
  return out;
}

DrumMap inverse(const DrumMap& map) {
  return {-map.offset_mm / map.slope, 1 / map.slope};
}

// How far from a seam jets lay only a part of their columns.
double cut_short_mm(const Layout& layout) {
  const auto [least, most] =
      std::minmax_element(layout.interleave.shift_px.begin(), layout.interleave.shift_px.end());
  return layout.px_mm() * (*most - *least + 1);
}

// Near a streak, or near a seam as a way has it.
std::vector<Interval> left_out_by(const geometry::Machine& machine, const WayShown& way) {
  std::vector<Interval> out = way.data.near_streaks_mm();
  const double reach_mm = cut_short_mm(machine.layout);
  for (const geometry::Seam& seam : machine.columns.seams()) {
    const geometry::SeamEnds ends = geometry::seam_ends(machine.layout, seam);
    const double left_mm = way.place.placed(ends.left_mm, way.data.middle_mm());
    const double right_mm = way.place.placed(ends.right_mm, way.data.middle_mm());
    out.push_back({std::min(left_mm, right_mm) - reach_mm, std::max(left_mm, right_mm) + reach_mm});
  }
  return out;
}

Interval mapped(const DrumMap& map, const Interval& x_mm) {
  const double a = map.at(x_mm.from_mm);
  const double b = map.at(x_mm.to_mm);
  return {std::min(a, b), std::max(a, b)};
}

std::vector<Interval> mapped(const DrumMap& map, std::vector<Interval> intervals) {
  for (Interval& i : intervals) i = mapped(map, i);
  return intervals;
}

// The best place near one of two.
Trial best_place(const JetData& data, const Trial& place, double stretch_of_other, double column_mm) {
  const double length_mm = data.window_mm().to_mm - data.window_mm().from_mm;
  const double most = std::max(std::abs(place.stretch), std::abs(stretch_of_other)) + kMoreStretch;
  Phase best;
  for (const double stretch : {place.stretch, stretch_of_other}) {
    const Trial start{place.shift_mm, stretch};
    const JetMatch match(data, start);
    Phase phase{start, match.left_over(start)};
    for (int k = 0; k < kRefinements; ++k) {
      const double before = phase.left_over;
      refine(match, column_mm, length_mm, most, phase);
      if (phase.left_over == before) break;
    }
    if (phase.left_over < best.left_over) best = phase;
  }
  return best.trial;
}

// Heads in the same place, told about the middle of a part.
Trial seen_from(const JetData& part, const JetData& whole, const Trial& trial) {
  return {trial.shift_mm + trial.stretch * (part.middle_mm() - whole.middle_mm()), trial.stretch};
}

Interval common(const Interval& a, const Interval& b) {
  return {std::max(a.from_mm, b.from_mm), std::min(a.to_mm, b.to_mm)};
}

PartEvidence evidence_of(const WayShown& one, const WayShown& other, const DrumMap& other_from_one,
                         const Interval& part_mm) {
  const JetData mine = one.data.narrowed(part_mm);
  const JetData others = other.data.narrowed(mapped(other_from_one, part_mm));
  if (mine.samples() < kFewestSamples || mine.square() <= 0 || others.square() <= 0) return {};
  const Trial here = seen_from(mine, one.data, one.place);
  const Trial there = seen_from(others, other.data, other.place);
  const JetMatch a(mine, here);
  const JetMatch b(others, there);
  if (a.jets() == 0 || b.jets() == 0) return {};
  const double explained = a.explained_squares(here) / mine.square();
  const double explained_otherwise = b.explained_squares(there) / others.square();
  const DrumMap one_from_other = inverse(other_from_one);
  PartEvidence out;
  out.more = explained - explained_otherwise;
  out.if_one = (a.would_explain(a, {}) - b.would_explain(a, other_from_one)) / a.would_print();
  out.if_other = (a.would_explain(b, one_from_other) - b.would_explain(b, {})) / b.would_print();
  out.missed = std::max(0.0, 1 - std::max(explained, explained_otherwise));
  out.noise = std::sqrt(2.0 * a.jets() * static_cast<double>(mine.inks().size())) / mine.square();
  return out;
}

}  // namespace

std::vector<PartEvidence> evidence_by_parts(const geometry::Machine& machine, const WayShown& one,
                                            const WayShown& other, const DrumMap& other_from_one,
                                            int threads) {
  const std::vector<JetData::Ink> inks = same_inks(one.data, other.data);
  if (inks.empty()) return {};
  const DrumMap one_from_other = inverse(other_from_one);
  // One list for both, so that they leave out the same machine.columns.
  std::vector<Interval> hidden = left_out_by(machine, one);
  for (const Interval& i : mapped(one_from_other, left_out_by(machine, other))) hidden.push_back(i);
  hidden = joined(std::move(hidden));
  const JetData mine = one.data.retold_finely(inks, hidden);
  const JetData others = other.data.retold_finely(inks, mapped(other_from_one, hidden));
  const double column_mm = machine.layout.px_mm();
  const WayShown a{mine, best_place(mine, one.place, other.place.stretch, column_mm)};
  const WayShown b{others, best_place(others, other.place, one.place.stretch, column_mm)};
  const Interval window = common(mine.window_mm(), mapped(one_from_other, others.window_mm()));
  const double whole_mm = window.to_mm - window.from_mm;
  if (whole_mm <= 0) return {};
  const auto parts = static_cast<std::size_t>(std::max(1.0, std::round(whole_mm / kPartLength_mm)));
  const double length_mm = whole_mm / static_cast<double>(parts);
  std::vector<PartEvidence> out(parts);
  for_each_part(parts, threads, [&](std::size_t k) {
    const double from_mm = window.from_mm + static_cast<double>(k) * length_mm;
    out[k] = evidence_of(a, b, other_from_one, {from_mm, from_mm + length_mm});
  });
  return out;
}

double log_odds(const std::vector<PartEvidence>& parts) {
  double sum = 0;
  for (const PartEvidence& part : parts) {
    const double least = std::min(part.if_one, part.if_other);
    const double more = std::clamp(part.more, least, std::max(part.if_one, part.if_other));
    const double spread_squared =
        kScatter * kScatter + std::pow(kOfMissed * part.missed, 2) + part.noise * part.noise;
    const double odds = std::log((spread_squared + std::pow(more - part.if_other, 2)) /
                                 (spread_squared + std::pow(more - part.if_one, 2)));
    sum += std::clamp(odds, -kMost, kMost);
  }
  return sum;
}

}  // namespace scrapetrace::jets
