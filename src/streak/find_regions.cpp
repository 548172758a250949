#include "streak/find_regions.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/intervals.h"
#include "base/parallel.h"
#include "base/robust.h"

namespace scrapetrace::streak {

namespace {

using profile::InkView;
using profile::Strips;

// Weighted mean of losses over views, sample by sample; `sign` -1 looks for added ink.
Signal mean_signal(const Strips& strips, const std::vector<const InkView*>& views, double sign) {
  Signal out;
  const auto n = static_cast<std::size_t>(strips.grid.size);
  out.value.assign(n, 0.0);
  std::vector<double> weight(n, 0.0);
  for (const InkView* view : views) {
    const auto& strip = strips.strips[view->strip];
    for (int i = strip.from; i < strip.to; ++i) {
      const auto k = static_cast<std::size_t>(i);
      out.value[k] += sign * strip.rows * static_cast<double>(view->loss[k]);
      weight[k] += strip.rows;
    }
  }
  out.from = static_cast<int>(n);
  for (std::size_t i = 0; i < n; ++i) {
    if (weight[i] <= 0) continue;
    out.value[i] /= weight[i];
    out.from = std::min(out.from, static_cast<int>(i));
    out.to = static_cast<int>(i) + 1;
  }
  out.from = std::min(out.from, out.to);
  return out;
}

double noise_of(const Signal& signal) {
  std::vector<double> values(signal.value.begin() + signal.from, signal.value.begin() + signal.to);
  const double centre = median(values);
  return std::max(robust_sigma(values, centre), 1e-5);
}

// Inks weighted by their noise; where an ink has no sample the others stand in.
Signal combine(const std::vector<Signal>& signals) {
  Signal out;
  if (signals.empty()) return out;
  const std::size_t n = signals.front().value.size();
  out.value.assign(n, 0.0);
  std::vector<double> weight(n, 0.0);
  for (const Signal& s : signals) {
    const double w = 1 / std::pow(noise_of(s), 2);
    for (int i = s.from; i < s.to; ++i) {
      out.value[static_cast<std::size_t>(i)] += w * s.value[static_cast<std::size_t>(i)];
      weight[static_cast<std::size_t>(i)] += w;
    }
  }
  out.from = static_cast<int>(n);
  for (std::size_t i = 0; i < n; ++i) {
    if (weight[i] <= 0) continue;
    out.value[i] /= weight[i];
    out.from = std::min(out.from, static_cast<int>(i));
    out.to = static_cast<int>(i) + 1;
  }
  out.from = std::min(out.from, out.to);
  return out;
}

// Replaces the samples of an interval by a straight line.
void bridge(Signal& signal, const profile::Grid& grid, Interval x_mm) {
  const int a = static_cast<int>(std::floor(grid.index(x_mm.from_mm)));
  const int b = static_cast<int>(std::ceil(grid.index(x_mm.to_mm)));
  if (a < signal.from || b >= signal.to) return;
  const double left = signal.value[static_cast<std::size_t>(a)];
  const double right = signal.value[static_cast<std::size_t>(b)];
  for (int i = a + 1; i < b; ++i)
    signal.value[static_cast<std::size_t>(i)] = left + (right - left) * (i - a) / (b - a);
}

// Haze has wide skirts that no box fits: a faint detection near a strong one belongs to it.
bool is_skirt(const Detection& d, const std::vector<Detection>& all, double pitch_mm) {
  constexpr double kReach_mm = 20;
  constexpr double kFaint = 0.25;  // of the strong one's mean
  return std::any_of(all.begin(), all.end(), [&](const Detection& other) {
    return other.z > d.z && d.mean < kFaint * other.mean &&
           std::abs(other.centre - d.centre) * pitch_mm < kReach_mm;
  });
}

std::vector<Signal> ink_signals(const Strips& strips, const profile::InkViews& views, int threads) {
  std::map<std::pair<int, bool>, std::vector<const InkView*>> by_ink;
  std::map<std::pair<int, int>, std::vector<const InkView*>> by_patch;
  for (const InkView& v : views.inked) {
    by_ink[{v.ink, v.single_ink}].push_back(&v);
    by_patch[{strips.strips[v.strip].patch, v.ink}].push_back(&v);
  }
  const std::size_t inks = by_ink.size();
  std::vector<std::vector<const InkView*>> groups;
  for (const auto& [key, group] : by_ink) groups.push_back(group);
  if (by_patch.size() > inks) {
    for (const auto& [key, group] : by_patch) groups.push_back(group);
  }
  std::vector<Signal> signals(groups.size());
  for_each_part(groups.size(), threads,
                [&](std::size_t k) { signals[k] = mean_signal(strips, groups[k], 1); });
  if (inks < 2) return signals;
  const auto of_patches = signals.begin() + static_cast<std::ptrdiff_t>(inks);
  signals.insert(of_patches, combine({signals.begin(), of_patches}));
  return signals;
}

}  // namespace

std::vector<Region> merge_regions(std::vector<Region> regions, double gap_mm) {
  std::stable_sort(regions.begin(), regions.end(),
                   [](const Region& a, const Region& b) { return a.x_mm.from_mm < b.x_mm.from_mm; });
  std::vector<Region> out;
  for (const Region& r : regions) {
    if (!out.empty() && r.x_mm.from_mm <= out.back().x_mm.to_mm + gap_mm) {
      Region& last = out.back();
      last.x_mm.to_mm = std::max(last.x_mm.to_mm, r.x_mm.to_mm);
      last.z = std::max(last.z, r.z);
      last.ink_lost = last.ink_lost || r.ink_lost;
      last.ink_added = last.ink_added || r.ink_added;
    } else {
      out.push_back(r);
    }
  }
  return out;
}

std::vector<Region> find_denser(const Strips& strips, const profile::InkViews& views,
                                const std::vector<Interval>& where_mm, const RegionOptions& options) {
  constexpr double kWidest_mm = 1.0;
  std::map<std::pair<int, bool>, std::vector<const InkView*>> by_ink;
  for (const InkView& v : views.inked) by_ink[{v.ink, v.single_ink}].push_back(&v);
  std::vector<Signal> signals;
  for (const auto& [key, group] : by_ink) signals.push_back(mean_signal(strips, group, -1));
  const Signal all = combine(signals);
  const double pitch = strips.grid.pitch_mm;
  BoxSearchOptions box{options.narrowest_mm / pitch, kWidest_mm / pitch, 1e-7};
  const double cells = independent_cells(all, box);
  if (cells <= 0) return {};
  box.probability = options.false_alarm_rate / cells;
  box.ease = options.tail;
  std::vector<Region> out;
  for (const Detection& d : search_boxes(all, box)) {
    const double half = 0.5 * d.width * pitch;
    const double x = strips.grid.at(d.centre);
    const bool asked = std::any_of(where_mm.begin(), where_mm.end(), [&](const Interval& w) {
      return x + half > w.from_mm && x - half < w.to_mm;
    });
    if (asked) out.push_back({{x - half, x + half}, d.z, false, false});
  }
  return out;
}

std::vector<Region> find_regions(const Strips& strips, const profile::InkViews& views,
                                 const std::vector<Interval>& known_mm, const RegionOptions& options) {
  struct Search {
    Signal signal;
    double narrowest_mm;
    bool added;
  };
  std::vector<Search> searches;
  for (Signal& s : ink_signals(strips, views, options.threads)) {
    for (const Interval& known : known_mm) bridge(s, strips.grid, known);
    searches.push_back({std::move(s), options.narrowest_mm, false});
  }
  std::vector<const InkView*> paper;
  for (const InkView& v : views.paper) paper.push_back(&v);
  // Ink on paper is looked for from half a millimetre up: narrower lines on paper are the scanner's.
  if (!paper.empty()) searches.push_back({mean_signal(strips, paper, -1), 0.5, true});

  const double pitch = strips.grid.pitch_mm;
  const auto box = [&](const Search& s) {
    return BoxSearchOptions{s.narrowest_mm / pitch, options.widest_mm / pitch, 1e-7};
  };
  double cells = 0;
  for (const Search& s : searches) cells += independent_cells(s.signal, box(s));
  if (cells <= 0) return {};

  std::vector<std::vector<Detection>> found(searches.size());
  for_each_part(searches.size(), options.threads, [&](std::size_t k) {
    BoxSearchOptions o = box(searches[k]);
    o.probability = options.false_alarm_rate / cells;
    o.ease = options.tail;
    found[k] = search_boxes(searches[k].signal, o);
  });
  std::vector<Region> regions;
  for (std::size_t k = 0; k < searches.size(); ++k) {
    const Search& s = searches[k];
    for (const Detection& d : found[k]) {
      if (s.added && is_skirt(d, found[k], pitch)) continue;
      const double half = 0.5 * d.width * pitch;
      const double x = strips.grid.at(d.centre);
      regions.push_back({{x - half, x + half}, d.z, !s.added, s.added});
    }
  }
  return merge_regions(std::move(regions), options.merge_gap_mm);
}

std::vector<Interval> apart_from(const std::vector<Region>& regions, std::size_t index) {
  std::vector<Interval> out;
  for (std::size_t r = 0; r < regions.size(); ++r) {
    if (r != index && !meet(regions[r].x_mm, regions[index].x_mm)) out.push_back(regions[r].x_mm);
  }
  return out;
}

}  // namespace scrapetrace::streak
