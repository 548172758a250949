#include "diagnose/scene.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "geometry/frames.h"

namespace scrapetrace::diagnose {

namespace {

using profile::InkView;

constexpr double kLeastSignalSigma = 3e-4;  // of the signal over paper: rounding of the raster and worse
constexpr double kBlindMargin_mm = 1.0;     // around other streaks
constexpr double kBlindVariance = 100.0;    // of a sample without weight: ten times full scale, squared
constexpr double kLeastPaperSigma = 2e-3;   // bare paper is never more even than this across a sheet
constexpr int kFewestSamples = 12;          // of a trace
constexpr double kPlaceError_px =
    0.06;  // of the scan's geometry from sample to sample, and of its blur's shape
constexpr double kLargestShift_columns = 24;  // trial shifts go no farther, however unsure the registration

double largest_offset_mm(const Layout& layout) {
  double most = 0;
  for (const Carriage& c : layout.carriages) most = std::max(most, std::abs(c.offset_mm));
  return most;
}

struct Pool {
  std::vector<const InkView*> views;
  int from = 0;
  int to = 0;
};

// Samples of a view inside the window.
std::pair<int, int> samples_in(const PreparedScan& scan, const InkView& view, Interval window_mm) {
  const auto& strip = scan.strips.strips[view.strip];
  const int from =
      std::max(strip.from, static_cast<int>(std::ceil(scan.strips.grid.index(window_mm.from_mm))));
  const int to =
      std::min(strip.to, static_cast<int>(std::floor(scan.strips.grid.index(window_mm.to_mm))) + 1);
  return {from, std::max(from, to)};
}

// The views of one ink (paper for -1) among the strips of a track that show the window; lone inks before
// overprints. A view that shows much less of the window than the best one is left out: a small patch may not
// cut the others short.
Pool pool_views(const PreparedScan& scan, const streak::Track& track, int ink, Interval window_mm) {
  constexpr double kLeastPart = 0.9;
  const auto shows = [&](const InkView& v) {
    return std::find(track.strips.begin(), track.strips.end(), v.strip) != track.strips.end();
  };
  Pool pool;
  for (const bool single : {true, false}) {
    std::vector<const InkView*> candidates;
    int most = 0;
    for (const InkView& v : ink < 0 ? scan.views.paper : scan.views.inked) {
      if (ink >= 0 && (v.ink != ink || v.single_ink != single || !shows(v))) continue;
      const auto [from, to] = samples_in(scan, v, window_mm);
      most = std::max(most, to - from);
      candidates.push_back(&v);
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

// Blur of the patches that a pool averages.
double pool_blur_px(const PreparedScan& scan, const Pool& pool) {
  double square = 0;
  for (const InkView* v : pool.views) {
    const int patch = scan.strips.strips[v->strip].patch;
    const bool measured =
        v->single_ink && patch >= 0 && static_cast<std::size_t>(patch) < scan.patch_blur_px.size();
    square += std::pow(measured ? scan.patch_blur_px[static_cast<std::size_t>(patch)] : scan.blur_px, 2);
  }
  return std::sqrt(square / static_cast<double>(pool.views.size()));
}

double dot_density(double value, double coverage) {
  return profile::density_of((value - (1 - coverage)) / coverage);
}

void average(const PreparedScan& scan, const Pool& pool, Trace& trace) {
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

double sample_at(const std::vector<double>& x, const std::vector<double>& y, double at) {
  const double step = x.size() > 1 ? x[1] - x[0] : 1;
  const double position = std::clamp((at - x[0]) / step, 0.0, static_cast<double>(x.size() - 1));
  const auto i = std::min(static_cast<std::size_t>(position), x.size() - 1);
  const auto j = std::min(i + 1, x.size() - 1);
  const double t = position - static_cast<double>(i);
  return y[i] * (1 - t) + y[j] * t;
}

// Sensitivity of a cell's signal to the relative amount of its ink, at the amount that the scan shows there.
std::vector<double> sensitivity(const Trace& trace, const Scene& scene) {
  std::vector<double> out;
  for (std::size_t c = 0; c < scene.cells.size(); ++c) {
    const double d0 = trace.density[c];
    const double seen =
        dot_density(sample_at(trace.x_mm, trace.value, scene.cells[c].middle_mm()), trace.coverage);
    const double kept = std::clamp(seen / std::max(d0, 0.02), 0.0, 1.1);
    out.push_back(trace.coverage * std::numbers::ln10 * d0 * kept * std::pow(10.0, -d0 * kept));
  }
  return out;
}

// Covariance: jets (each moves all its columns), strips' own noise, and the forward model's error.
void set_noise(const Scene& scene, const Blend& blend, const InkNoise& noise, double strips, double scans,
               double model_error, Trace& trace) {
  const std::size_t n = trace.value.size();
  std::map<std::pair<int, int>, std::map<std::size_t, double>> by_jet;
  if (trace.ink >= 0) {
    const auto g = sensitivity(trace, scene);
    for (std::size_t i = 0; i < n; ++i) {
      for (std::size_t k = 0; k < blend.weight[i].size(); ++k) {
        const auto c = static_cast<std::size_t>(blend.first[i]) + k;
        const auto& owner = scene.cells[c].owner;
        if (!owner.nobody()) by_jet[{owner.head, owner.jet}][i] += blend.weight[i][k] * g[c];
      }
    }
  }
  std::size_t band = 1;
  for (const auto& [jet, weights] : by_jet) {
    band = std::max(band, weights.rbegin()->first - weights.begin()->first);
  }
  trace.noise = std::make_shared<BandedCholesky>(n, band);
  // Jets repeat on every sheet: with S scans their part counts S times, so that the sum over scans weighs the
  // mean over scans by J + N / S.
  const double jet_variance = noise.jet_sigma * noise.jet_sigma * scans;
  for (const auto& [jet, weights] : by_jet) {
    for (const auto& [i, wi] : weights) {
      for (const auto& [j, wj] : weights) {
        if (j > i) break;
        trace.noise->add(i, j, jet_variance * wi * wj);
      }
    }
  }
  for (std::size_t i = 0; i < n; ++i) {
    const double slope = trace.ink < 0
                             ? trace.base[i]
                             : std::numbers::ln10 * profile::density_of(trace.base[i]) * trace.base[i];
    const double own = noise.strip_sigma * slope;
    const double least = trace.ink < 0 ? kLeastPaperSigma : kLeastSignalSigma;
    const double model = model_error * (trace.value[i] - trace.base[i]);
    const double rise = 0.5 * (trace.value[std::min(i + 1, n - 1)] - trace.value[i > 0 ? i - 1 : 0]);
    const double place = kPlaceError_px * rise;
    trace.noise->add(i, i, own * own / strips + model * model + place * place + least * least);
    const bool blind =
        trace.blind[i] || std::any_of(scene.blind_mm.begin(), scene.blind_mm.end(), [&](const Interval& b) {
          return trace.x_mm[i] >= b.from_mm && trace.x_mm[i] <= b.to_mm;
        });
    if (blind) trace.noise->add(i, i, kBlindVariance);
  }
}

// Whitened offset and slope of the baseline, orthonormal.
void set_nuisance(Trace& trace) {
  const double middle = 0.5 * (trace.x_mm.front() + trace.x_mm.back());
  const double half = std::max(1e-9, 0.5 * (trace.x_mm.back() - trace.x_mm.front()));
  for (int power = 0; power < 2; ++power) {
    std::vector<double> v(trace.value.size());
    for (std::size_t i = 0; i < v.size(); ++i) {
      const double level = trace.ink < 0 ? trace.base[i] : trace.base[i] * profile::density_of(trace.base[i]);
      v[i] = level * (power == 0 ? 1.0 : (trace.x_mm[i] - middle) / half);
    }
    trace.noise->whiten(v);
    for (const auto& other : trace.nuisance) {
      double dot = 0;
      for (std::size_t i = 0; i < v.size(); ++i) dot += v[i] * other[i];
      for (std::size_t i = 0; i < v.size(); ++i) v[i] -= dot * other[i];
    }
    double norm = 0;
    for (double x : v) norm += x * x;
    if (norm <= 0) continue;
    for (double& x : v) x /= std::sqrt(norm);
    trace.nuisance.push_back(std::move(v));
  }
}

// All columns of the window as laid, cut at every column's ends: pieces under one column are its cells,
// pieces under none are gaps, pieces under several hold their ink together (the leftmost column stands for
// them).
void set_cells(const Layout& layout, const geometry::ColumnMap& columns, Scene& scene) {
  constexpr double kTolerance_mm = 1e-6;
  const double px = layout.px_mm();
  const double pad = 1.0;
  const int first = static_cast<int>(std::floor((scene.window_mm.from_mm - pad) / px));
  const int last = static_cast<int>(std::ceil((scene.window_mm.to_mm + pad) / px));
  std::vector<Cell> boxes;
  std::vector<double> ends;
  for (int c = first; c <= last; ++c) {
    const auto owner = columns.owner(c);
    const auto carriage =
        owner.nobody() ? std::size_t{0} : layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double middle = geometry::drum_x_of_column(layout, c, carriage);
    boxes.push_back({c, owner, middle - px / 2, middle + px / 2, 1});
    ends.push_back(boxes.back().from_mm);
    ends.push_back(boxes.back().to_mm);
  }
  std::sort(ends.begin(), ends.end());
  const int reach = 2 + static_cast<int>(std::ceil(largest_offset_mm(layout) * 2 / px));
  for (std::size_t e = 0; e + 1 < ends.size(); ++e) {
    if (ends[e + 1] - ends[e] < kTolerance_mm) continue;
    Cell piece{-1, {}, scene.cells.empty() ? ends[e] : scene.cells.back().to_mm, ends[e + 1], 0};
    const double middle = piece.middle_mm();
    const int about = static_cast<int>(std::floor(middle / px)) - first;
    for (int k = std::max(0, about - reach); k <= std::min(static_cast<int>(boxes.size()) - 1, about + reach);
         ++k) {
      const Cell& box = boxes[static_cast<std::size_t>(k)];
      if (box.from_mm > middle || box.to_mm <= middle) continue;
      if (piece.layers++ == 0) piece.column = box.column, piece.owner = box.owner;
    }
    scene.cells.push_back(piece);
  }
}

// Trial shifts over two and a half standard deviations of the registration.
void set_shifts(double sigma_mm, double px_mm, double step_columns, Scene& scene) {
  const double reach = std::min(2.5 * sigma_mm / px_mm, kLargestShift_columns);
  const double step = reach / step_columns > 20 ? 0.5 : step_columns;
  const int n = std::max(1, static_cast<int>(std::ceil(reach / step)));
  for (int k = -n; k <= n; ++k) {
    const double shift = k * step * px_mm;
    scene.shift_mm.push_back(shift);
    scene.shift_log_prior.push_back(-0.5 * std::pow(shift / sigma_mm, 2));
  }
}

bool add_trace(const PreparedScan& scan, std::size_t scan_index, const InkNoise& noise,
               const streak::Track& track, double scans, const SceneOptions& options, Scene& scene) {
  const Pool pool = pool_views(scan, track, noise.ink, scene.window_mm);
  const auto& grid = scan.strips.grid;
  if (pool.to - pool.from < kFewestSamples) return false;
  Trace trace;
  trace.scan = scan_index;
  trace.ink = noise.ink;
  average(scan, pool, trace);
  if (noise.ink >= 0) {
    const InkView& view = *pool.views.front();
    trace.coverage = view.coverage;
    double total = 0;
    for (double d : view.ink_density) total += d;
    for (double d : view.ink_density) trace.share.push_back(d / total);
  }
  for (const Cell& cell : scene.cells) {
    const double density =
        noise.ink < 0 ? 0 : dot_density(sample_at(trace.x_mm, trace.base, cell.middle_mm()), trace.coverage);
    trace.density.push_back(cell.layers * density);
  }
  trace.blur_mm = pool_blur_px(scan, pool) * grid.pitch_mm;
  const double model_error = noise.ink < 0 ? options.paper_model_error : options.model_error;
  set_noise(scene, scene.blend(trace, 0), noise, static_cast<double>(pool.views.size()), scans, model_error,
            trace);
  if (!trace.noise->factor()) return false;
  set_nuisance(trace);
  scene.traces.push_back(std::move(trace));
  return true;
}

}  // namespace

std::vector<std::size_t> Scene::cells_of(int column) const {
  std::vector<std::size_t> out;
  for (std::size_t k = 0; k < cells.size(); ++k) {
    if (cells[k].column == column) out.push_back(k);
  }
  return out;
}

Blend Scene::blend(const Trace& trace, double shift) const {
  std::vector<double> edges;
  for (const Cell& cell : cells) edges.push_back(cell.from_mm);
  edges.push_back(cells.back().to_mm);
  return make_blend(edges, trace.x_mm, shift, trace.blur_mm);
}

Scene make_scene(const Layout& layout, const geometry::ColumnMap& columns,
                 const std::vector<PreparedScan>& scans, const std::vector<std::vector<InkNoise>>& noise,
                 Interval region_mm, const std::vector<Interval>& others,
                 const std::vector<streak::Track>& tracks, const SceneOptions& options) {
  Scene scene;
  for (const Interval& other : others) {
    if (other.to_mm < region_mm.from_mm) {
      scene.blind_mm.push_back(
          {other.from_mm - kBlindMargin_mm, std::min(other.to_mm + kBlindMargin_mm, region_mm.from_mm)});
    } else if (other.from_mm > region_mm.to_mm) {
      scene.blind_mm.push_back(
          {std::max(other.from_mm - kBlindMargin_mm, region_mm.to_mm), other.to_mm + kBlindMargin_mm});
    }
  }
  const auto& shift = layout.interleave.shift_px;
  const auto [low, high] = std::minmax_element(shift.begin(), shift.end());
  const double travel = (*high - *low) * layout.px_mm();
  scene.window_mm = {region_mm.from_mm - travel - options.margin_mm,
                     region_mm.to_mm + travel + options.margin_mm};
  scene.px_mm = layout.px_mm();
  set_cells(layout, columns, scene);
  double sigma = 0;
  double showing = 0;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    if (tracks[s].strips.empty()) continue;
    sigma = std::max(sigma, scans[s].x_sigma_mm);
    showing += 1;
  }
  set_shifts(std::max(sigma, 1e-3), layout.px_mm(), options.shift_step_columns, scene);
  for (std::size_t s = 0; s < scans.size(); ++s) {
    if (tracks[s].strips.empty()) continue;
    for (const InkNoise& n : noise[s]) add_trace(scans[s], s, n, tracks[s], showing, options, scene);
  }
  return scene;
}

}  // namespace scrapetrace::diagnose
