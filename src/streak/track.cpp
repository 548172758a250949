#include "streak/track.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/robust.h"

namespace scrapetrace::streak {

namespace {

struct Reading {
  std::size_t strip;
  Interval y_mm;
  double loss = 0;
  double sigma = 1;
};

// Mean loss in the box and its noise: the spread of the same box over the rest of the strip.
bool read_strip(const profile::Strips& strips, const profile::InkView& view, Interval x_mm, Reading& out) {
  const auto& strip = strips.strips[view.strip];
  const int from = std::max(strip.from, static_cast<int>(std::floor(strips.grid.index(x_mm.from_mm))));
  const int to = std::min(strip.to, static_cast<int>(std::ceil(strips.grid.index(x_mm.to_mm))) + 1);
  const int width = to - from;
  if (width < 1) return false;
  const auto box_mean = [&](int a) {
    double sum = 0;
    for (int i = a; i < a + width; ++i) sum += static_cast<double>(view.loss[static_cast<std::size_t>(i)]);
    return sum / width;
  };
  std::vector<double> elsewhere;
  for (int a = strip.from; a + width <= strip.to;
       a += std::max(width / 2, (strip.to - strip.from) / 300 + 1)) {
    elsewhere.push_back(box_mean(a));
  }
  const double centre = median(elsewhere);
  out = {view.strip, strip.y_mm, box_mean(from) - centre, std::max(robust_sigma(elsewhere, centre), 1e-4)};
  return true;
}

// One reading per strip: views of several inks of one strip are averaged by their weights.
std::vector<Reading> read_all(const profile::Strips& strips, const profile::InkViews& views, Interval x_mm,
                              int ink, bool added) {
  std::map<std::size_t, std::vector<Reading>> by_strip;
  for (const auto& view : added ? views.paper : views.inked) {
    if (!added && ink >= 0 && view.ink != ink) continue;
    Reading r;
    if (!read_strip(strips, view, x_mm, r)) continue;
    if (added) r.loss = -r.loss;
    by_strip[view.strip].push_back(r);
  }
  std::vector<Reading> out;
  for (const auto& [index, readings] : by_strip) {
    Reading mean{index, readings.front().y_mm, 0, 0};
    double weight = 0;
    for (const Reading& r : readings) {
      weight += 1 / (r.sigma * r.sigma);
      mean.loss += r.loss / (r.sigma * r.sigma);
    }
    mean.loss /= weight;
    mean.sigma = 1 / std::sqrt(weight);
    out.push_back(mean);
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Reading& a, const Reading& b) { return a.y_mm.from_mm < b.y_mm.from_mm; });
  return out;
}

// Best stretch [i, j] for a constant loss A > 0: likelihood ratio (sum a/s^2)^2 / (2 sum 1/s^2).
std::pair<std::size_t, std::size_t> best_stretch(const std::vector<Reading>& readings) {
  const auto gain = [&](std::size_t i, std::size_t j) {
    double a = 0;
    double w = 0;
    for (std::size_t k = i; k <= j; ++k) {
      a += readings[k].loss / std::pow(readings[k].sigma, 2);
      w += 1 / std::pow(readings[k].sigma, 2);
    }
    return a > 0 ? a * a / (2 * w) : 0.0;
  };
  std::pair<std::size_t, std::size_t> best{0, readings.size() - 1};
  const double whole = gain(0, readings.size() - 1);
  double most = whole + 3;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    for (std::size_t j = i; j < readings.size(); ++j) {
      const double g = gain(i, j);
      if (g > most) most = g, best = {i, j};
    }
  }
  return best;
}

}  // namespace

Track track_streak(const profile::Strips& strips, const profile::InkViews& views, Interval x_mm, int ink,
                   bool added) {
  Track out;
  const auto readings = read_all(strips, views, x_mm, ink, added);
  if (readings.empty()) return out;
  const auto [first, last] = best_stretch(readings);
  double a = 0;
  double w = 0;
  for (std::size_t k = first; k <= last; ++k) {
    a += readings[k].loss / std::pow(readings[k].sigma, 2);
    w += 1 / std::pow(readings[k].sigma, 2);
  }
  out.mean_loss = a / w;
  out.z = a / std::sqrt(w);
  bool open = false;
  for (std::size_t k = 0; k < readings.size(); ++k) {
    const Reading& r = readings[k];
    const bool lacking = r.loss < 0.3 * out.mean_loss && out.mean_loss - r.loss > 4 * r.sigma;
    if (r.loss < 0.3 * out.mean_loss && out.mean_loss - r.loss > 3 * r.sigma) out.silent.push_back(r.strip);
    if (lacking || k < first || k > last) {
      open = false;
      continue;
    }
    if (!open) out.y_mm.push_back(r.y_mm);
    out.y_mm.back().to_mm = std::max(out.y_mm.back().to_mm, r.y_mm.to_mm);
    out.strips.push_back(r.strip);
    open = true;
  }
  return out;
}

}  // namespace scrapetrace::streak
