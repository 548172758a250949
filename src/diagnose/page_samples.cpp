#include "diagnose/page_samples.h"

namespace scrapetrace::diagnose {

PageSamples::PageSamples(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns, int threads) {
  for (std::size_t s = 0; s < scans.size(); ++s) {
    first_view_.push_back(views_.size());
    for (std::size_t p = 0; p < scans[s].patches.size(); ++p) views_.push_back({s, p, 0, {}, {}, 0});
  }
  for_each_part(views_.size(), threads, [&](std::size_t v) {
    take_parts(scans[views_[v].scan].patches[views_[v].patch], unknowns, views_[v]);
  });
  for (const Coupling& c : unknowns.couplings()) band_ = std::max(band_, c.unknown - c.earlier);
  for (View& view : views_) {
    view.first = size_;
    size_ += view.samples.size();
    band_ = std::max(band_, view.band);
  }
}

void PageSamples::take_parts(const PatchLoss& patch, const PageUnknowns& unknowns, View& view) {
  constexpr std::size_t kManyParts = 16;  // room is not memory before it is used
  const auto most = static_cast<std::size_t>(std::max(0, patch.to - patch.from));
  view.samples.reserve(most);
  view.parts.reserve(kManyParts * most);
  PageUnknowns::View seen(unknowns, view.scan, view.patch);
  for (int i = patch.from; i < patch.to; ++i) {
    const auto sample = static_cast<std::size_t>(i);
    if (patch.variance[sample] <= 0) continue;
    const std::span<const Part> parts = seen.parts(sample);
    view.samples.push_back(
        {static_cast<std::uint32_t>(sample), static_cast<std::uint32_t>(view.parts.size())});
    view.parts.insert(view.parts.end(), parts.begin(), parts.end());
    view.band = std::max<std::size_t>(view.band, parts.back().unknown - parts.front().unknown);
  }
}

std::size_t PageSamples::first_from(const View& view, int sample) {
  const auto least = static_cast<std::uint32_t>(std::max(0, sample));
  const auto found = std::lower_bound(view.samples.begin(), view.samples.end(), least,
                                      [](const Sample& a, std::uint32_t value) { return a.sample < value; });
  return static_cast<std::size_t>(found - view.samples.begin());
}

}  // namespace scrapetrace::diagnose
