#include "likelihood/scene.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "base/parallel.h"
#include "geometry/frames.h"
#include "geometry/travel.h"
#include "likelihood/fringe_noise.h"
#include "likelihood/pool.h"
#include "likelihood/trace_noise.h"

namespace scrapetrace::diagnose {

using profile::dot_density;

namespace {

constexpr double kBlindMargin_mm = 1.0;       // around other streaks
constexpr double kLargestShift_columns = 24;  // trial shifts go no farther, however unsure the registration

double largest_offset_mm(const Layout& layout) {
  double most = 0;
  for (const Carriage& c : layout.carriages) most = std::max(most, std::abs(c.offset_mm));
  return most;
}

// All columns of the window as laid, cut at every column's ends: pieces under one column are its cells,
// pieces under none are gaps, pieces under several hold their ink together (the leftmost column stands for
// them).
void set_cells(const geometry::Machine& machine, Scene& scene) {
  constexpr double kTolerance_mm = 1e-6;
  const double px = machine.layout.px_mm();
  const double pad = 1.0;
  const int first = static_cast<int>(std::floor((scene.window_mm.from_mm - pad) / px));
  const int last = static_cast<int>(std::ceil((scene.window_mm.to_mm + pad) / px));
  std::vector<Cell> boxes;
  std::vector<double> ends;
  for (int c = first; c <= last; ++c) {
    const auto owner = machine.columns.owner(c);
    const auto carriage =
        owner.nobody() ? std::size_t{0} : machine.layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double middle = geometry::drum_x_of_column(machine.layout, c, carriage);
    boxes.push_back({c, owner, middle - px / 2, middle + px / 2, 1});
    ends.push_back(boxes.back().from_mm);
    ends.push_back(boxes.back().to_mm);
  }
  std::sort(ends.begin(), ends.end());
  const int reach = 2 + static_cast<int>(std::ceil(largest_offset_mm(machine.layout) * 2 / px));
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

// Trial shifts over two and a half standard deviations of the registration and of where the heads stand.
void set_shifts(double sigma_mm, double px_mm, double step_columns, Scene& scene) {
  const double reach = std::min(2.5 * sigma_mm / px_mm, kLargestShift_columns);
  constexpr double kFineReach_columns =
      1.25;  // beyond, half a column's steps tell as much, for half the work
  const double step = reach > kFineReach_columns ? std::max(0.5, step_columns) : step_columns;
  const int n = std::max(1, static_cast<int>(std::ceil(reach / step)));
  for (int k = -n; k <= n; ++k) {
    const double shift = k * step * px_mm;
    scene.shift_mm.push_back(shift);
    scene.shift_log_prior.push_back(-0.5 * std::pow(shift / sigma_mm, 2));
  }
}

// A trace without its noise yet; empty when the scan shows too little of the ink here.
struct Seen {
  Trace trace;
  double strips = 0;
};

std::optional<Seen> see(const profile::PreparedScan& scan, std::size_t scan_index, int ink,
                        const streak::Track& track, const Scene& scene) {
  const Pool pool = pool_views(scan, track, ink, scene.window_mm);
  if (pool.to - pool.from < kFewestSamples) return std::nullopt;
  Trace trace;
  trace.scan = scan_index;
  trace.ink = ink;
  average(scan, pool, trace);
  if (ink >= 0) {
    const profile::InkView& view = *pool.views.front();
    trace.coverage = view.coverage;
    double total = 0;
    for (double d : view.ink_density) total += d;
    for (double d : view.ink_density) trace.share.push_back(d / total);
  }
  for (const Cell& cell : scene.cells) {
    const double density =
        ink < 0 ? 0 : dot_density(sample_at(trace.x_mm, trace.base, cell.middle_mm()), trace.coverage);
    trace.density.push_back(cell.layers * density);
  }
  trace.spread = pool_spread(scan, pool);
  if (ink >= 0) trace.with_fringes = covariance_with_fringes(scan, pool);
  return Seen{std::move(trace), static_cast<double>(pool.views.size())};
}

// What scans from before say about one ink under the scene, and the density that they showed, per cell.
struct Earlier {
  Pattern pattern;
  std::vector<double> density;
};

std::optional<Earlier> learn(const Before& before, const InkNoise& noise, const SceneOptions& options,
                             const Scene& scene) {
  Earlier out{Pattern(scene, before.known_mm, noise), {}};
  double scans = 0;
  for (std::size_t s = 0; s < before.scans.size(); ++s) {
    const auto& list = before.noise[s];
    const auto own =
        std::find_if(list.begin(), list.end(), [&](const InkNoise& n) { return n.ink == noise.ink; });
    if (own == list.end()) continue;
    const auto seen = see(before.scans[s], s, noise.ink, all_strips(before.scans[s]), scene);
    if (!seen) continue;
    out.pattern.learn(scene, seen->trace,
                      sample_covariance(*own, seen->strips, static_cast<double>(before.scans.size()), options,
                                        seen->trace));
    out.density.resize(scene.cells.size(), 0.0);
    for (std::size_t c = 0; c < scene.cells.size(); ++c) {
      out.density[c] += dot_density(
          sample_at(seen->trace.x_mm, seen->trace.value, scene.cells[c].middle_mm()), seen->trace.coverage);
    }
    scans += 1;
  }
  if (scans == 0) return std::nullopt;
  for (double& d : out.density) d /= scans;
  out.pattern.solve();
  return out;
}

// Fraction of the ink that was there before which a trace still shows, per cell.
std::vector<double> kept_since(const Earlier& earlier, const Trace& trace, const Scene& scene) {
  constexpr double kTooLittle = 0.15;  // of the clean density: nothing to compare with
  std::vector<double> kept(scene.cells.size(), 1.0);
  if (trace.ink < 0) return kept;
  for (std::size_t c = 0; c < kept.size(); ++c) {
    if (earlier.density[c] < kTooLittle * trace.density[c]) continue;
    const double now =
        dot_density(sample_at(trace.x_mm, trace.value, scene.cells[c].middle_mm()), trace.coverage);
    kept[c] = std::clamp(now / std::max(earlier.density[c], 1e-3), 0.0, 1.1);
  }
  return kept;
}

// Nothing where the strips that show the streak hold nothing of the ink.
std::optional<Trace> make_trace(const profile::PreparedScan& scan, std::size_t scan_index,
                                const InkNoise& noise, const streak::Track& track, double scans,
                                const SceneOptions& options, const Before* before, const Scene& scene) {
  auto seen = see(scan, scan_index, noise.ink, track, scene);
  if (!seen) return std::nullopt;
  Trace& trace = seen->trace;
  trace.jets_in_place = scan.jets_in_place && options.jets_in_place;
  const double strips = options.same_sheet ? seen->strips / scans : seen->strips;
  const auto earlier = before != nullptr ? learn(*before, noise, options, scene) : std::nullopt;
  // What the geometry's error makes of edges that stood there before is judged before they are taken out.
  const Eigen::MatrixXd own = sample_covariance(noise, strips, scans, options, trace);
  if (earlier) {
    take_out_pattern(scene, earlier->pattern, kept_since(*earlier, trace, scene), scans, own, trace);
  } else {
    set_noise(scene, scene.blend(trace, 0), noise, scans, own, trace);
  }
  if (!trace.noise->factor()) return std::nullopt;
  set_nuisance(trace);
  return std::move(trace);
}

}  // namespace

Blend Scene::blend(const Trace& trace, double shift) const {
  std::vector<double> edges;
  for (const Cell& cell : cells) edges.push_back(cell.from_mm);
  edges.push_back(cells.back().to_mm);
  return make_blend(edges, trace.x_mm, shift, trace.spread);
}

Interval Scene::shown_mm() const {
  Interval shown{1e9, -1e9};
  for (const Trace& trace : traces) {
    if (trace.x_mm.empty()) continue;
    shown = {std::min(shown.from_mm, trace.x_mm.front()), std::max(shown.to_mm, trace.x_mm.back())};
  }
  return shown;
}

Scene make_scene(const geometry::Machine& machine, const std::vector<profile::PreparedScan>& scans,
                 const std::vector<std::vector<InkNoise>>& noise, Interval region_mm,
                 const std::vector<Interval>& others, const std::vector<streak::Track>& tracks,
                 const SceneOptions& options, const Before* before) {
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
  const geometry::Travel travel = geometry::travel_of(machine.layout, 0);  // as far on every carriage
  const double beside_mm = (travel.high_px - travel.low_px) * machine.layout.px_mm();
  scene.window_mm = {region_mm.from_mm - beside_mm - options.margin_mm,
                     region_mm.to_mm + beside_mm + options.margin_mm};
  scene.px_mm = machine.layout.px_mm();
  set_cells(machine, scene);
  double sigma = 0;
  double showing = 0;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    if (tracks[s].strips.empty()) continue;
    sigma = std::max(sigma, scans[s].x_sigma_at(0.5 * (region_mm.from_mm + region_mm.to_mm)));
    showing += 1;
  }
  sigma = std::hypot(sigma, machine.layout.tolerance.place_mm);
  set_shifts(std::max(sigma, 1e-3), machine.layout.px_mm(), options.shift_step_columns, scene);
  std::vector<std::pair<std::size_t, const InkNoise*>> asked;  // by scan
  for (std::size_t s = 0; s < scans.size(); ++s) {
    if (tracks[s].strips.empty()) continue;
    for (const InkNoise& n : noise[s]) asked.emplace_back(s, &n);
  }
  std::vector<std::optional<Trace>> traces(asked.size());
  for_each_part(asked.size(), options.threads, [&](std::size_t k) {
    const auto& [s, own] = asked[k];
    traces[k] = make_trace(scans[s], s, *own, tracks[s], showing, options, before, scene);
  });
  for (auto& trace : traces) {
    if (trace) scene.traces.push_back(*std::move(trace));
  }
  return scene;
}

}  // namespace scrapetrace::diagnose
