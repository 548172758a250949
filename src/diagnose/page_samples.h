#pragma once
// The samples of a page's patches that count, with their unknowns: worked out once, gone through many times.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "diagnose/page_unknowns.h"

namespace scrapetrace::diagnose {

class PageSamples {
 public:
  PageSamples(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns);

  [[nodiscard]] std::size_t size() const { return samples_.size(); }
  // The largest difference between the numbers of two unknowns of one sample.
  [[nodiscard]] std::size_t band() const { return band_; }

  // Calls visit(k, scan, patch, sample, parts) for the k-th, patch by patch and from left to right.
  template <class Visit>
  void each(const Visit& visit) const {
    for (std::size_t k = 0; k < samples_.size(); ++k) call(k, visit);
  }
  // The same for those of a patch within [from, to).
  template <class Visit>
  void each_within(std::size_t scan, std::size_t patch, int from, int to, const Visit& visit) const {
    for (std::size_t k = first_within(scan, patch, from); k < samples_.size(); ++k) {
      const Sample& s = samples_[k];
      if (s.scan != scan || s.patch != patch || s.sample >= static_cast<std::size_t>(std::max(0, to))) break;
      call(k, visit);
    }
  }

 private:
  struct Sample {
    std::uint32_t scan = 0;
    std::uint32_t patch = 0;
    std::uint32_t sample = 0;
    std::uint32_t first_part = 0;
  };
  [[nodiscard]] static Sample numbered(std::size_t scan, std::size_t patch, std::size_t sample,
                                       std::size_t first_part) {
    return {static_cast<std::uint32_t>(scan), static_cast<std::uint32_t>(patch),
            static_cast<std::uint32_t>(sample), static_cast<std::uint32_t>(first_part)};
  }
  template <class Visit>
  void call(std::size_t k, const Visit& visit) const {
    const std::size_t end = k + 1 < samples_.size() ? samples_[k + 1].first_part : parts_.size();
    const std::span<const Part> parts(parts_.data() + samples_[k].first_part, end - samples_[k].first_part);
    visit(k, samples_[k].scan, samples_[k].patch, samples_[k].sample, parts);
  }
  [[nodiscard]] std::size_t first_within(std::size_t scan, std::size_t patch, int from) const;

  std::vector<Sample> samples_;
  std::vector<Part> parts_;
  std::size_t band_ = 0;
};

}  // namespace scrapetrace::diagnose
