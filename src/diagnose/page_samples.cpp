#include "diagnose/page_samples.h"

#include <tuple>

namespace scrapetrace::diagnose {

namespace {

// As many samples as there can be.
std::size_t most_samples(const std::vector<ScanLosses>& scans) {
  std::size_t count = 0;
  for (const ScanLosses& scan : scans) {
    for (const PatchLoss& patch : scan.patches)
      count += static_cast<std::size_t>(std::max(0, patch.to - patch.from));
  }
  return count;
}

}  // namespace

PageSamples::PageSamples(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns) {
  constexpr std::size_t kManyParts = 16;  // room is not memory before it is used
  const std::size_t most = most_samples(scans);
  samples_.reserve(most);
  parts_.reserve(kManyParts * most);
  for (const Coupling& c : unknowns.couplings()) band_ = std::max(band_, c.unknown - c.earlier);
  for (std::size_t s = 0; s < scans.size(); ++s) {
    for (std::size_t p = 0; p < scans[s].patches.size(); ++p) {
      const PatchLoss& patch = scans[s].patches[p];
      PageUnknowns::View view(unknowns, s, p);
      for (int i = patch.from; i < patch.to; ++i) {
        const auto sample = static_cast<std::size_t>(i);
        if (patch.variance[sample] <= 0) continue;
        const std::span<const Part> parts = view.parts(sample);
        samples_.push_back(numbered(s, p, sample, parts_.size()));
        parts_.insert(parts_.end(), parts.begin(), parts.end());
        band_ = std::max<std::size_t>(band_, parts.back().unknown - parts.front().unknown);
      }
    }
  }
}

std::size_t PageSamples::first_within(std::size_t scan, std::size_t patch, int from) const {
  const Sample least = numbered(scan, patch, static_cast<std::size_t>(std::max(0, from)), 0);
  const auto before = [](const Sample& a, const Sample& b) {
    return std::tie(a.scan, a.patch, a.sample) < std::tie(b.scan, b.patch, b.sample);
  };
  return static_cast<std::size_t>(std::lower_bound(samples_.begin(), samples_.end(), least, before) -
                                  samples_.begin());
}

}  // namespace scrapetrace::diagnose
