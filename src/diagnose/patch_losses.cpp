#include "diagnose/patch_losses.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numbers>
#include <numeric>

#include "base/parallel.h"

namespace scrapetrace::diagnose {

namespace {

using profile::InkView;

constexpr double kEdge_mm = 1.5;  // beside a patch's ends: two blocks of a thinned JPEG at 300 dpi
constexpr double kLeastWidth_mm =
    25;  // over less, the running median that stands for the ink's level follows its own ends
constexpr double kLeastMottle = 0.002;  // a running median's baseline is never more even than this

std::vector<double> shares(const InkView& view, std::size_t inks) {
  std::vector<double> share(inks, 0.0);
  const double total = std::accumulate(view.ink_density.begin(), view.ink_density.end(), 0.0);
  if (total <= 0) {
    if (view.ink >= 0) share[static_cast<std::size_t>(view.ink)] = 1;
    return share;
  }
  for (std::size_t i = 0; i < inks && i < view.ink_density.size(); ++i)
    share[i] = view.ink_density[i] / total;
  return share;
}

const InkNoise* noise_of(const std::vector<InkNoise>& noise, int ink) {
  const auto found =
      std::find_if(noise.begin(), noise.end(), [&](const InkNoise& n) { return n.ink == ink; });
  return found == noise.end() ? nullptr : &*found;
}

// Inks that stand nowhere alone are taken for as mottled as `own`.
std::vector<InkMottle> mottle_of(const std::vector<InkNoise>& noise, const InkNoise& own, std::size_t inks,
                                 std::size_t strips) {
  std::vector<InkMottle> out;
  for (std::size_t i = 0; i < inks; ++i) {
    const InkNoise* known = noise_of(noise, static_cast<int>(i));
    const InkNoise& n = known != nullptr ? *known : own;
    const double sigma = std::max(n.mottle_sigma, kLeastMottle);
    out.push_back({sigma * sigma / static_cast<double>(strips), n.mottle_mm});
  }
  return out;
}

PatchLoss mean_of(const PreparedScan& scan, const std::vector<const InkView*>& views, const InkNoise& noise,
                  std::size_t inks, const std::vector<SeamLight::Step>& steps) {
  const auto n = static_cast<std::size_t>(scan.strips.grid.size);
  PatchLoss out;
  out.ink = views.front()->ink;
  for (const InkView* view : views) out.phases.add(scan.strips.strips[view->strip].phases);
  const double pitch_mm = scan.strips.grid.pitch_mm;
  if (!steps.empty())
    out.seams = {steps, scan.strips.grid, PointSpread(scan.blur_px * pitch_mm, pitch_mm, out.phases)};
  out.single_ink = views.front()->single_ink;
  out.share = shares(*views.front(), inks);
  const auto& densities = views.front()->ink_density;
  if (views.front()->coverage >= 1) out.density = std::accumulate(densities.begin(), densities.end(), 0.0);
  out.from = scan.strips.grid.size;
  out.loss.assign(n, 0.0);
  out.amount.assign(n, 0.0);
  out.variance.assign(n, 0.0);
  std::vector<double> rows(n, 0.0);
  const int edge = static_cast<int>(std::ceil(kEdge_mm / scan.strips.grid.pitch_mm));
  for (const InkView* view : views) {
    const auto& strip = scan.strips.strips[view->strip];
    out.from = std::min(out.from, strip.from);
    out.to = std::max(out.to, strip.to);
    const auto level = [&](std::size_t k) { return profile::density_of(static_cast<double>(view->base[k])); };
    const double middle = level(static_cast<std::size_t>((strip.from + strip.to) / 2));
    if (view == views.front()) out.level = middle;
    for (int i = strip.from + edge; i < strip.to - edge; ++i) {
      const auto k = static_cast<std::size_t>(i);
      const bool straight = out.seams.at(k) != nullptr;
      const auto own = static_cast<double>(view->loss[k]);
      const double loss = straight ? straight_loss(own, level(k)) : own;
      out.loss[k] += strip.rows * loss;
      out.amount[k] += strip.rows * (straight ? 1 : 1 - loss) * level(k) / middle;
      rows[k] += strip.rows;
      out.variance[k] += strip.rows * strip.rows;
    }
  }
  for (std::size_t k = 0; k < n; ++k) {
    if (rows[k] <= 0) continue;
    out.loss[k] /= rows[k];
    out.amount[k] /= rows[k];
    out.variance[k] *= noise.strip_sigma * noise.strip_sigma / (rows[k] * rows[k]);
  }
  return out;
}

void hide(const profile::Grid& grid, const std::vector<Interval>& blind_mm, std::vector<double>& variance) {
  for (const Interval& blind : blind_mm) {
    const int from = std::max(0, static_cast<int>(std::floor(grid.index(blind.from_mm))));
    const int to = std::min(grid.size, static_cast<int>(std::ceil(grid.index(blind.to_mm))) + 1);
    for (int i = from; i < to; ++i) variance[static_cast<std::size_t>(i)] = 0;
  }
}

// Beside steps `amount` has been of what is laid there without any loss.
void keep_beside(PatchLoss& view) {
  for (const SeamLight::Sample& sample : view.seams.samples()) {
    const std::size_t k = sample.number;
    view.beside.push_back({view.loss[k], view.variance[k], view.amount[k]});
  }
}

}  // namespace

double whole(const PatchLoss& view) {
  return std::accumulate(view.share.begin(), view.share.end(), 0.0);
}

double share_of(const PatchLoss& view, std::optional<std::size_t> ink) {
  return ink ? view.share[*ink] : whole(view);
}

std::vector<PatchLoss> patch_losses(const Layout& layout, const geometry::ColumnMap& columns,
                                    const PreparedScan& scan, const std::vector<InkNoise>& noise,
                                    const std::vector<Interval>& blind_mm, int threads) {
  std::vector<SeamLight::Step> steps;
  for (const geometry::SeamEnds& ends : geometry::stand_offs(layout, columns)) steps.push_back({ends, 0});
  const std::size_t inks = layout.inks.size();
  std::map<std::pair<int, int>, std::vector<const InkView*>> groups;  // by patch and ink
  for (const InkView& view : scan.views.inked)
    groups[{scan.strips.strips[view.strip].patch, view.ink}].push_back(&view);
  std::vector<PatchLoss> out(groups.size());
  for_each_part(groups.size(), threads, [&](std::size_t g) {
    const auto& group = *std::next(groups.begin(), static_cast<std::ptrdiff_t>(g));
    const InkNoise* own = noise_of(noise, group.first.second);
    if (own == nullptr) return;
    PatchLoss& loss = out[g];
    loss = mean_of(scan, group.second, *own, inks, steps);
    loss.patch = group.first.first;
    loss.mottle = mottle_of(noise, *own, inks, group.second.size());
    hide(scan.strips.grid, blind_mm, loss.variance);
    // A mean over fewer rows of the print has other mottle than its neighbours.
    hide(scan.strips.grid, scan.thin_mm, loss.variance);
    keep_beside(loss);
    take_out_steps(loss.seams, loss);
  });
  std::erase_if(out, [&](const PatchLoss& loss) {
    return loss.patch < 0 || (loss.to - loss.from) * scan.strips.grid.pitch_mm < kLeastWidth_mm;
  });
  return out;
}

// With T the signal and b the part of a sample that a step takes, T = (1 - b) T_ink + b T_step. Where too
// little is left of a sample it is blind.
void take_out_steps(SeamLight seams, PatchLoss& view) {
  constexpr double kMostBare = 0.4;
  constexpr double kMostLoss = 0.8;
  view.seams = std::move(seams);
  for (std::size_t s = 0; s < view.beside.size(); ++s) {
    const SeamLight::Sample& sample = view.seams.samples()[s];
    const PatchLoss::Beside& seen = view.beside[s];
    if (seen.variance <= 0) continue;
    const bool overlap = view.seams.steps()[sample.step].overlap();
    const double part = overlap ? -sample.bare : sample.bare;
    const double left = 1 - std::min(part, kMostBare);
    const double loss = (seen.loss - part * straight_loss_of_step(view.level, overlap)) / left;
    const double light = 1 + std::numbers::ln10 * view.level * seen.loss;
    const bool blind = part >= kMostBare || std::abs(loss) > kMostLoss;
    const std::size_t k = sample.number;
    view.loss[k] = blind ? 0 : loss;
    view.amount[k] = seen.level * (1 - view.loss[k]);
    view.variance[k] = blind ? 0 : seen.variance * std::pow(light / left, 2);
  }
}

}  // namespace scrapetrace::diagnose
