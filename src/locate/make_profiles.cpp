#include "locate/make_profiles.h"

#include <Eigen/Dense>
#include <algorithm>
#include <set>

#include "diagnose/round.h"

namespace scrapetrace::locate_detail {

namespace {

using diagnose::Explanation;
using diagnose::Scene;
using diagnose::Trace;

// The strips that show the streak and, of inks that do not show it at all, every strip: their silence says
// something too.
streak::Track with_silent_inks(const profile::PreparedScan& scan, const streak::Track& track) {
  streak::Track out = track;
  if (track.strips.empty()) return out;
  std::set<int> seen;
  for (const auto& view : scan.views.inked) {
    if (track.shown_by(view.strip)) seen.insert(view.ink);
  }
  for (const auto& view : scan.views.inked) {
    if (seen.count(view.ink) == 0) out.strips.push_back(view.strip);
  }
  for (const auto& view : scan.views.paper) {
    if (!track.shown_by(view.strip)) out.strips.push_back(view.strip);
  }
  return out;
}

Scene scene_of(const diagnose::PageContext& page, const std::vector<streak::Region>& regions,
               std::size_t index, const Explanation& explanation) {
  std::vector<streak::Track> tracks;
  for (std::size_t s = 0; s < page.scans.size(); ++s)
    tracks.push_back(with_silent_inks(page.scans[s], explanation.tracks[s]));
  return make_scene(page.machine, page.scans, page.noise, regions[index].x_mm,
                    streak::apart_from(regions, index), tracks, {});
}

// The registration's error that suits the explanation best.
double shift_of(const Scene& scene, const Explanation& e) {
  std::size_t shift = diagnose::unshifted(scene);
  e.found.found_of(diagnose::likeliest_named(e.causes),
                   [&](const auto& hypotheses) { shift = hypotheses.best().shift; });
  return scene.shift_mm[std::min(shift, scene.shift_mm.size() - 1)];
}

diagnose::InkState state_of(const diagnose::PageContext& page, const Scene& scene,
                            const std::vector<Explanation>& explanations) {
  diagnose::InkState state = untouched(page.machine.layout, scene);
  for (const Explanation& e : explanations)
    diagnose::apply(page, scene, e.found, diagnose::likeliest_named(e.causes), state);
  return state;
}

// The model in samples, its level and tilt fitted to the scan by least squares: the baseline is not known
// better than that, and the diagnosis leaves both free as well.
std::vector<double> fitted_samples(const Scene& scene, const Trace& trace, const diagnose::InkState& state,
                                   double shift_mm) {
  const auto blend = scene.blend(trace, shift_mm);
  const auto cells = diagnose::state_signals(trace, state);
  const auto n = static_cast<Eigen::Index>(trace.value.size());
  Eigen::VectorXd model = Eigen::VectorXd::Zero(n);
  Eigen::MatrixXd free = Eigen::MatrixXd::Zero(n, 2);
  Eigen::VectorXd rest = Eigen::VectorXd::Zero(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto k = static_cast<std::size_t>(i);
    for (std::size_t w = 0; w < blend.weight[k].size(); ++w)
      model[i] += blend.weight[k][w] * cells[static_cast<std::size_t>(blend.first[k]) + w];
    const bool blind =
        trace.blind[k] || std::any_of(scene.blind_mm.begin(), scene.blind_mm.end(), [&](const Interval& b) {
          return trace.x_mm[k] >= b.from_mm && trace.x_mm[k] <= b.to_mm;
        });
    if (blind) continue;
    free(i, 0) = trace.base[k];
    free(i, 1) = trace.base[k] * (2.0 * static_cast<double>(i) / static_cast<double>(n) - 1);
    rest[i] = trace.value[k] - model[i];
  }
  const Eigen::Vector2d fit = free.colPivHouseholderQr().solve(rest);
  std::vector<double> out;
  for (Eigen::Index i = 0; i < n; ++i) {
    const double tilt = 2.0 * static_cast<double>(i) / static_cast<double>(n) - 1;
    out.push_back(model[i] + trace.base[static_cast<std::size_t>(i)] * (fit[0] + fit[1] * tilt));
  }
  return out;
}

}  // namespace

std::vector<Profile> make_profiles(const diagnose::PageContext& page,
                                   const std::vector<streak::Region>& regions, std::size_t index,
                                   const std::vector<Explanation>& explanations) {
  if (explanations.empty()) return {};
  const Explanation& first = explanations.front();
  const Scene scene = scene_of(page, regions, index, first);
  const bool claimed = std::none_of(explanations.begin(), explanations.end(), [](const Explanation& e) {
    return diagnose::likeliest(e.causes) == Cause::unknown;
  });
  const auto state = state_of(page, scene, explanations);
  std::vector<Profile> out;
  for (const Trace& trace : scene.traces) {
    Profile profile;
    profile.scan = page.scans[trace.scan].index;
    if (trace.ink >= 0) profile.ink = page.machine.layout.inks[static_cast<std::size_t>(trace.ink)].name;
    profile.x_drum_mm = trace.x_mm;
    profile.measured = trace.value;
    profile.clean = trace.base;
    if (claimed) profile.fitted = fitted_samples(scene, trace, state, shift_of(scene, first));
    out.push_back(std::move(profile));
  }
  std::stable_sort(out.begin(), out.end(), [](const Profile& a, const Profile& b) {
    return std::pair(a.scan, a.ink.empty()) < std::pair(b.scan, b.ink.empty());
  });
  return out;
}

}  // namespace scrapetrace::locate_detail
