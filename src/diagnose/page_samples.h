#pragma once
// The samples of a page's patches that count, with their unknowns: worked out once, gone through many times.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "base/parallel.h"
#include "diagnose/page_unknowns.h"

namespace scrapetrace::diagnose {

class PageSamples {
 public:
  PageSamples(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns, int threads);

  [[nodiscard]] std::size_t size() const { return size_; }
  // The largest difference between the numbers of two unknowns of one sample.
  [[nodiscard]] std::size_t band() const { return band_; }

  // Calls visit(k, scan, patch, sample, parts) for the k-th, patch by patch and from left to right.
  template <class Visit>
  void each(const Visit& visit) const {
    for (const View& view : views_) each_of(view, 0, view.samples.size(), visit);
  }
  // The same with patches side by side on threads: for what is kept by sample.
  template <class Visit>
  void each_side_by_side(int threads, const Visit& visit) const {
    for_each_part(views_.size(), threads,
                  [&](std::size_t v) { each_of(views_[v], 0, views_[v].samples.size(), visit); });
  }
  // Calls visit(k, scan, patch, sample, parts, own) with ranges of the `unknowns` side by side on threads:
  // for what is kept by unknown. `own` says which of the parts belong to the range at hand; over all ranges
  // each part is named once, and those of one unknown in the order of each().
  template <class Visit>
  void each_by_unknown(std::size_t unknowns, int threads, const Visit& visit) const {
    const std::size_t ranges = thread_count(threads);
    for_each_part(ranges, threads, [&](std::size_t r) {
      const std::size_t from = unknowns * r / ranges;
      const std::size_t to = unknowns * (r + 1) / ranges;
      each([&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part> parts) {
        if (parts.back().unknown < from || parts.front().unknown >= to) return;
        OwnParts own{0, parts.size()};
        while (parts[own.from].unknown < from) ++own.from;
        while (parts[own.to - 1].unknown >= to) --own.to;
        visit(k, s, p, i, parts, own);
      });
    });
  }
  struct OwnParts {
    std::size_t from = 0;
    std::size_t to = 0;
  };
  // As each() for those of a patch within [from, to).
  template <class Visit>
  void each_within(std::size_t scan, std::size_t patch, int from, int to, const Visit& visit) const {
    const View& view = views_[first_view_[scan] + patch];
    each_of(view, first_from(view, from), first_from(view, to), visit);
  }

 private:
  struct Sample {
    std::uint32_t sample = 0;
    std::uint32_t first_part = 0;
  };
  struct View {
    std::size_t scan = 0;
    std::size_t patch = 0;
    std::size_t first = 0;  // number of its first sample among all
    std::vector<Sample> samples;
    std::vector<Part> parts;
    std::size_t band = 0;
  };
  template <class Visit>
  static void each_of(const View& view, std::size_t from, std::size_t to, const Visit& visit) {
    for (std::size_t k = from; k < to; ++k) {
      const std::size_t first = view.samples[k].first_part;
      const std::size_t end =
          k + 1 < view.samples.size() ? view.samples[k + 1].first_part : view.parts.size();
      visit(view.first + k, view.scan, view.patch, view.samples[k].sample,
            std::span<const Part>(view.parts.data() + first, end - first));
    }
  }
  static void take_parts(const PatchLoss& patch, const PageUnknowns& unknowns, View& view);
  static std::size_t first_from(const View& view, int sample);

  std::vector<View> views_;
  std::vector<std::size_t> first_view_;  // per scan
  std::size_t size_ = 0;
  std::size_t band_ = 0;
};

}  // namespace scrapetrace::diagnose
