#include "likelihood/pool.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::diagnose {

using profile::InkView;

namespace {

constexpr double kSameCoverage = 0.03;

// Samples of a view inside the window.
std::pair<int, int> samples_in(const profile::PreparedScan& scan, const InkView& view, Interval window_mm) {
  const auto& strip = scan.strips.strips[view.strip];
  const int from =
      std::max(strip.from, static_cast<int>(std::ceil(scan.strips.grid.index(window_mm.from_mm))));
  const int to =
      std::min(strip.to, static_cast<int>(std::floor(scan.strips.grid.index(window_mm.to_mm))) + 1);
  return {from, std::max(from, to)};
}

// Strips of a view, as far as their ink shows: a tint's dots make up its coverage of them.
double worth(const profile::PreparedScan& scan, const InkView& view) {
  return view.coverage * scan.strips.strips[view.strip].rows;
}

}  // namespace

void keep_one_coverage(const profile::PreparedScan& scan, std::vector<const InkView*>& views) {
  double best = 0;
  double coverage = 1;
  for (const InkView* one : views) {
    double sum = 0;
    for (const InkView* other : views) {
      if (std::abs(other->coverage - one->coverage) < kSameCoverage) sum += worth(scan, *other);
    }
    if (sum > best) best = sum, coverage = one->coverage;
  }
  std::erase_if(views, [&](const InkView* v) { return std::abs(v->coverage - coverage) >= kSameCoverage; });
}

streak::Track all_strips(const profile::PreparedScan& scan) {
  streak::Track track;
  Interval printed{1e300, -1e300};
  for (std::size_t s = 0; s < scan.strips.strips.size(); ++s) {
    track.strips.push_back(s);
    const auto& strip = scan.strips.strips[s];
    if (strip.patch < 0) continue;
    printed = {std::min(printed.from_mm, strip.y_mm.from_mm), std::max(printed.to_mm, strip.y_mm.to_mm)};
  }
  if (printed.from_mm < printed.to_mm) track.y_mm.push_back(printed);
  return track;
}

Pool pool_views(const profile::PreparedScan& scan, const streak::Track& track, int ink, Interval window_mm) {
  constexpr double kLeastPart = 0.9;
  Pool pool;
  for (const bool single : {true, false}) {
    std::vector<const InkView*> candidates;
    for (const InkView& v : ink < 0 ? scan.views.paper : scan.views.inked) {
      if (ink >= 0 && (v.ink != ink || v.single_ink != single || !track.shown_by(v.strip))) continue;
      const auto [from, to] = samples_in(scan, v, window_mm);
      if (to - from >= kFewestSamples) candidates.push_back(&v);
    }
    keep_one_coverage(scan, candidates);
    int most = 0;
    for (const InkView* v : candidates) {
      const auto [from, to] = samples_in(scan, *v, window_mm);
      most = std::max(most, to - from);
    }
    if (most < kFewestSamples) continue;
    pool.to = scan.strips.grid.size;
    for (const InkView* v : candidates) {
      const auto [from, to] = samples_in(scan, *v, window_mm);
      if (to - from < kLeastPart * most) continue;
      pool.views.push_back(v);
      pool.from = std::max(pool.from, from);
      pool.to = std::min(pool.to, to);
    }
    break;
  }
  return pool;
}

PointSpread pool_spread(const profile::PreparedScan& scan, const Pool& pool) {
  double square = 0;
  profile::Phases phases;
  for (const InkView* v : pool.views) {
    const profile::Strip& strip = scan.strips.strips[v->strip];
    phases.add(strip.phases);
    const int patch = strip.patch;
    const bool measured =
        v->single_ink && patch >= 0 && static_cast<std::size_t>(patch) < scan.patch_blur_px.size();
    square += std::pow(measured ? scan.patch_blur_px[static_cast<std::size_t>(patch)] : scan.blur_px, 2);
  }
  const double pitch_mm = scan.strips.grid.pitch_mm;
  return {std::sqrt(square / static_cast<double>(pool.views.size())) * pitch_mm, pitch_mm, phases};
}

PointSpread mean_spread(const profile::PreparedScan& scan) {
  const double pitch_mm = scan.strips.grid.pitch_mm;
  return {scan.blur_px * pitch_mm, pitch_mm, profile::phases_of(scan.strips)};
}

void average(const profile::PreparedScan& scan, const Pool& pool, Trace& trace) {
  for (int i = pool.from; i < pool.to; ++i) {
    const auto k = static_cast<std::size_t>(i);
    double value = 0;
    double base = 0;
    double rows = 0;
    for (const bool bridged : {false, true}) {  // bridged samples only where there is nothing else
      for (const InkView* v : pool.views) {
        const auto& strip = scan.strips.strips[v->strip];
        if ((!strip.bridged.empty() && strip.bridged[k]) != bridged) continue;
        value += strip.rows * static_cast<double>(v->value[k]);
        base += strip.rows * static_cast<double>(v->base[k]);
        rows += strip.rows;
      }
      if (rows > 0) {
        trace.blind.push_back(bridged);
        break;
      }
    }
    trace.x_mm.push_back(scan.strips.grid.at(i));
    trace.value.push_back(value / rows);
    trace.base.push_back(base / rows);
  }
}

}  // namespace scrapetrace::diagnose
