#include "diagnose/page_samples.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace scrapetrace::diagnose {

PageSamples::PageSamples(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns, int threads)
    : scans_(scans), unknowns_(unknowns), inks_(unknowns.inks()), seen_(scans.size()) {
  for (std::size_t s = 0; s < scans.size(); ++s) {
    for (std::size_t p = 0; p < scans[s].patches.size(); ++p) numbers_.push_back({s, p});
    add_patches(s, threads);
    const auto size = static_cast<std::size_t>(scans[s].grid.size);
    seen_[s].extents.resize(size);
    find_stretches(s);
    seen_[s].between.resize(size * seen_[s].places);
    std::vector<std::size_t> band(size);
    for_each_stretch(size, kSamplesAtOnce, threads, [&](std::size_t from, std::size_t to) {
      for (std::size_t i = from; i < to; ++i) {
        find_knots(s, i);
        band[i] = measure_extent(s, i);
      }
    });
    for (const std::size_t b : band) band_ = std::max(band_, b);
  }
  for (const Coupling& c : unknowns.couplings()) band_ = std::max(band_, c.unknown - c.earlier);
}

void PageSamples::add_patches(std::size_t s, int threads) {
  std::map<int, Patch> by_patch;
  for (std::size_t p = 0; p < scans_[s].patches.size(); ++p) {
    const PatchLoss& losses = scans_[s].patches[p];
    if (losses.to <= losses.from) continue;  // it has no knots, nor any samples
    Patch& patch = by_patch[losses.patch];
    if (patch.views.empty()) patch.inks = shown_inks(s, losses.patch);
    View& view = patch.views.emplace_back();
    view.number = p;
    for (const ShownInk& shown : patch.inks) {
      const double share = losses.share[shown.ink];
      view.share.push_back(std::abs(share) < kFaintestShare ? 0 : share);
    }
  }
  std::vector<View*> views;
  seen_[s].patches.reserve(by_patch.size());
  for (auto& [number, patch] : by_patch) {
    for (ShownInk& shown : patch.inks) shown.place = seen_[s].places++;
    for (View& view : seen_[s].patches.emplace_back(std::move(patch)).views) views.push_back(&view);
  }
  for_each_part(views.size(), threads, [&](std::size_t v) {
    const std::vector<double>& variance = scans_[s].patches[views[v]->number].variance;
    std::vector<double>& precision = views[v]->precision;
    precision.assign(variance.size(), 0.0);
    each_of(s, views[v]->number, [&](std::size_t i) { precision[i] = 1 / variance[i]; });
  });
}

// Those of which any view of a patch has more than next to nothing.
std::vector<PageSamples::ShownInk> PageSamples::shown_inks(std::size_t s, int patch) const {
  std::vector<ShownInk> out;
  for (std::size_t ink = 0; ink < inks_; ++ink) {
    const bool shown =
        std::any_of(scans_[s].patches.begin(), scans_[s].patches.end(), [&](const PatchLoss& view) {
          return view.patch == patch && view.to > view.from && std::abs(view.share[ink]) >= kFaintestShare;
        });
    if (!shown) continue;
    const auto& knots = unknowns_.knots(s, static_cast<std::size_t>(patch), ink);
    out.push_back({ink, knots.number.empty() ? nullptr : &knots});
  }
  return out;
}

void PageSamples::find_knots(std::size_t s, std::size_t i) {
  const double x_mm = scans_[s].grid.at(static_cast<double>(i));
  for (const Patch& patch : seen_[s].patches) {
    for (const ShownInk& shown : patch.inks) {
      if (shown.knots == nullptr) continue;
      const auto at = shown.knots->between(x_mm);
      const std::size_t* const number = shown.knots->number.data() + at.left;
      seen_[s].between[shown.place * seen_[s].extents.size() + i] = {
          static_cast<std::uint32_t>(number[0]), static_cast<std::uint32_t>(number[1]), at.right_part};
    }
  }
}

std::size_t PageSamples::measure_extent(std::size_t s, std::size_t i) {
  const auto jets = unknowns_.jets_seen(s, i);
  std::size_t band = 0;
  std::size_t first = unknowns_.size();
  std::size_t last = 0;
  for (const Patch& patch : seen_[s].patches) {
    if (!any_counts(patch, i)) continue;
    std::size_t own_first = jets.empty() ? unknowns_.size() : jets.front().first;
    std::size_t own_last = jets.empty() ? 0 : jets.back().first + inks_ - 1;
    const auto take = [&](std::size_t unknown) {
      own_first = std::min(own_first, unknown);
      own_last = std::max(own_last, unknown);
    };
    for (const View& view : patch.views) {
      const SeenStep step = step_seen(s, view.number, i);
      if (step.unknowns == nullptr) continue;
      seen_[s].extents[i].steps = true;
      std::for_each(step.unknowns->begin(), step.unknowns->end(), take);
    }
    for (const ShownInk& shown : patch.inks) {
      if (shown.knots == nullptr) continue;
      const BetweenKnots& knots = between(s, i, shown);
      take(knots.left);
      take(knots.right);
    }
    if (own_first > own_last) continue;
    band = std::max(band, own_last - own_first);
    first = std::min(first, own_first);
    last = std::max(last, own_last);
  }
  if (first <= last) {
    seen_[s].extents[i].first = static_cast<std::uint32_t>(first);
    seen_[s].extents[i].last = static_cast<std::uint32_t>(last);
  }
  return band;
}

// Variances are those of strips, which hold for all of a strip but what is hidden of it.
void PageSamples::find_stretches(std::size_t s) {
  const auto size = static_cast<std::size_t>(scans_[s].grid.size);
  std::vector<std::uint32_t>& stretch = seen_[s].stretch;
  stretch.assign(size, 0);
  for (const Patch& patch : seen_[s].patches) {
    for (const View& view : patch.views) {
      for (std::size_t i = 1; i < size; ++i)
        stretch[i] |= static_cast<std::uint32_t>(view.precision[i] != view.precision[i - 1]);
    }
  }
  std::partial_sum(stretch.begin(), stretch.end(), stretch.begin());
  for (std::size_t i = 0; i < size; ++i) {
    if (i == 0 || stretch[i] != stretch[i - 1]) seen_[s].stretches.push_back(stretch_at(s, i));
  }
}

PageSamples::Stretch PageSamples::stretch_at(std::size_t s, std::size_t i) const {
  Stretch out;
  out.weight.assign(seen_[s].places * inks_, 0.0);
  out.together.assign(inks_ * inks_, 0.0);
  for (const Patch& patch : seen_[s].patches) {
    for (std::size_t a = 0; a < patch.inks.size(); ++a) {
      double* const weight = out.weight.data() + patch.inks[a].place * inks_;
      for (const View& view : patch.views) {
        for (std::size_t b = 0; b < patch.inks.size(); ++b)
          weight[patch.inks[b].ink] += view.precision[i] * view.share[a] * view.share[b];
      }
      for (std::size_t b = 0; b < inks_; ++b) out.together[patch.inks[a].ink * inks_ + b] += weight[b];
    }
  }
  out.losses.push_back(loss_at(s, i, std::nullopt));
  for (std::size_t ink = 0; ink < inks_; ++ink) out.losses.push_back(loss_at(s, i, ink));
  return out;
}

PageSamples::Loss PageSamples::loss_at(std::size_t s, std::size_t i, std::optional<std::size_t> ink) const {
  Loss out;
  out.shared.assign(seen_[s].places, 0.0);
  for (const Patch& patch : seen_[s].patches) {
    for (const View& view : patch.views) {
      const double shown = share_of(scans_[s].patches[view.number], ink);
      const double weight = view.precision[i] * shown;
      out.square += weight * shown;
      for (std::size_t a = 0; a < patch.inks.size(); ++a)
        out.shared[patch.inks[a].place] += weight * view.share[a];
    }
  }
  return out;
}

bool PageSamples::any_counts(const Patch& patch, std::size_t i) {
  return std::any_of(patch.views.begin(), patch.views.end(),
                     [i](const View& view) { return view.precision[i] > 0; });
}

std::size_t PageSamples::size() const {
  std::size_t out = 0;
  for (const ViewNumber& at : numbers_) each_of(at.scan, at.view, [&](std::size_t) { ++out; });
  return out;
}

BySample PageSamples::zeros() const {
  BySample out;
  for (const ScanLosses& scan : scans_) {
    out.emplace_back();
    for (const PatchLoss& view : scan.patches) out.back().emplace_back(view.loss.size(), 0.0);
  }
  return out;
}

PageSamples::SeenStep PageSamples::step_seen(std::size_t s, std::size_t view, std::size_t i) const {
  SeenStep out;
  const PatchLoss& losses = scans_[s].patches[view];
  const SeamLight::Sample* const seen = losses.seams.at(i);
  if (seen == nullptr) return out;
  out.unknowns = unknowns_.step(s, view, seen->step);
  if (out.unknowns == nullptr) return out;
  const bool overlap = losses.seams.steps()[seen->step].overlap();
  const double loss = std::abs(straight_loss_of_step(losses.level, overlap));
  for (std::size_t k = 0; k < out.part.size(); ++k) out.part[k] = loss * seen->differs[k];
  return out;
}

PageSamples::Range PageSamples::seen_by(std::size_t scan, std::size_t first, std::size_t end) const {
  Range out{unknowns_.size(), 0};
  for (std::size_t i = first; i < end; ++i) {
    const Extent& extent = seen_[scan].extents[i];
    if (extent.none()) continue;
    out.from = std::min<std::size_t>(out.from, extent.first);
    out.to = std::max<std::size_t>(out.to, extent.last + 1);
  }
  return out;
}

}  // namespace scrapetrace::diagnose
