#pragma once
// What the samples of a page's patches see of its unknowns: W of column_evidence.h. All patches of a scan see
// the same jets w, and all views of a patch the same mottle, each in the parts s that inks have in it: a
// view's rows of W are s (x) w, which is never written out. Sums over views are taken before what they see is
// looked at.

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "base/parallel.h"
#include "diagnose/banded_cholesky.h"
#include "diagnose/page_unknowns.h"

namespace scrapetrace::diagnose {

// Per scan, view and sample of its grid; 0 where a sample does not count.
using BySample = std::vector<std::vector<std::vector<double>>>;

class PageSamples {
 public:
  // Goes with the unknowns and the losses as they are now; both must outlive it.
  PageSamples(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns, int threads);

  // How many count.
  [[nodiscard]] std::size_t size() const;
  // The largest difference between the numbers of two unknowns of one sample of a patch.
  [[nodiscard]] std::size_t band() const { return band_; }
  [[nodiscard]] BySample zeros() const;

  // Adds W^T N^-1 W, N the losses' variances. The same for any number of threads, like all below.
  void add_to(BandedCholesky& system, int threads) const;
  // W m
  [[nodiscard]] BySample of_unknowns(const std::vector<double>& m, int threads) const;
  // W^T N^-1 y
  [[nodiscard]] std::vector<double> to_unknowns(const BySample& y, int threads) const;

  // Of unknowns: [from, to).
  struct Range {
    std::size_t from = 0;
    std::size_t to = 0;
  };
  // W^T N^-1 of several columns at once, for the samples [first, end) of a scan: value(view, sample) has a
  // row of them; calls add(sample, unknown, part). Unknowns outside `range` are left out; those of one
  // unknown come in the samples' order.
  template <std::size_t Columns, class Value, class Add>
  void carry(std::size_t scan, std::size_t first, std::size_t end, Range range, const Value& value,
             const Add& add) const;
  // What a loss of all inks alike has in common with the unknowns: adds W^T N^-1 l to `out`, which begins
  // with unknown `from` and holds all that the samples see, where samples first, first + 1, ... of a scan
  // lose the `parts`. Returns l^T N^-1 l.
  double carry_whole(std::size_t scan, std::size_t first, const std::vector<double>& parts, std::size_t from,
                     std::vector<double>& out) const;
  // The unknowns of a scan's samples [first, end).
  [[nodiscard]] Range seen_by(std::size_t scan, std::size_t first, std::size_t end) const;

  [[nodiscard]] bool counts(std::size_t scan, std::size_t view, std::size_t i) const {
    const PatchLoss& losses = scans_[scan].patches[view];
    return static_cast<int>(i) >= losses.from && static_cast<int>(i) < losses.to && losses.variance[i] > 0;
  }
  // Calls visit(sample) for those of a view that count, from left to right.
  template <class Visit>
  void each_of(std::size_t scan, std::size_t view, const Visit& visit) const {
    const PatchLoss& losses = scans_[scan].patches[view];
    for (int i = losses.from; i < losses.to; ++i) {
      if (losses.variance[static_cast<std::size_t>(i)] > 0) visit(static_cast<std::size_t>(i));
    }
  }
  // Calls visit(scan, view, sample) for all that count, views side by side on threads: for what is kept by
  // sample or by view.
  template <class Visit>
  void each(int threads, const Visit& visit) const {
    for_each_part(numbers_.size(), threads, [&](std::size_t k) {
      const ViewNumber& at = numbers_[k];
      each_of(at.scan, at.view, [&](std::size_t i) { visit(at.scan, at.view, i); });
    });
  }
  // Calls work(range) for ranges of the unknowns, side by side on threads.
  template <class Work>
  void each_range(int threads, const Work& work) const {
    const std::size_t ranges = thread_count(threads);
    for_each_part(ranges, threads, [&](std::size_t r) {
      work(Range{unknowns_.size() * r / ranges, unknowns_.size() * (r + 1) / ranges});
    });
  }

 private:
  struct ViewNumber {
    std::size_t scan = 0;
    std::size_t view = 0;
  };
  struct View {
    std::size_t number = 0;
    std::vector<double> precision;  // of its samples; 0: does not count
    std::vector<double> share;      // of the patch's inks
    double whole = 0;               // what a loss of all inks alike shows
    std::vector<double> product;    // of two of them: by the first and the second
  };
  struct ShownInk {
    std::size_t ink = 0;
    const PageUnknowns::Knots* knots = nullptr;  // null: none
    std::size_t place = 0;                       // among all that a sample lies between
  };
  struct BetweenKnots {
    std::uint32_t left = 0;  // the unknowns' numbers
    std::uint32_t right = 0;
    double right_part = 0;
  };
  struct Patch {  // of the chart, as a scan shows it
    std::vector<ShownInk> inks;
    std::vector<View> views;
  };
  struct Extent {  // of the numbers of a sample's unknowns; none: `last` is smaller
    std::uint32_t first = 1;
    std::uint32_t last = 0;
    bool steps = false;  // at seams are among them

    [[nodiscard]] bool none() const { return last < first; }
    [[nodiscard]] bool meets(const Range& range) const {
      return !none() && last >= range.from && first < range.to;
    }
  };
  struct Scan {
    std::vector<Patch> patches;
    std::vector<Extent> extents;
    std::vector<BetweenKnots> between;   // by sample, then by patch and ink
    std::size_t between_size = 0;        // of a sample
    std::vector<std::uint32_t> stretch;  // of each sample: those of one have views of the same variances
    std::vector<double> whole;  // of a sample of each stretch that loses all of all inks: l^T N^-1 l, then
                                // S N^-1 l by patch and ink
    std::size_t whole_size = 1;
  };
  class Sums;

  void add_patches(std::size_t s);
  [[nodiscard]] std::vector<ShownInk> shown_inks(std::size_t s, int patch);
  void find_knots(std::size_t s, std::size_t i);
  [[nodiscard]] const BetweenKnots& between(std::size_t s, std::size_t i, const ShownInk& shown) const {
    return seen_[s].between[i * seen_[s].between_size + shown.place];
  }
  // Of a sample and the patches that count there: the unknowns' numbers; returns how far apart a patch has
  // them.
  std::size_t measure_extent(std::size_t s, std::size_t i);
  void find_stretches(std::size_t s);
  void lose_all(std::size_t s, std::size_t i);
  // The step at a seam that a view's sample sees: its unknowns, null for none, and the parts of them.
  struct SeenStep {
    const PageUnknowns::StepNumbers* unknowns = nullptr;
    std::array<double, kSeamShapes> part{};
  };
  [[nodiscard]] SeenStep step_seen(std::size_t s, std::size_t view, std::size_t i) const;
  [[nodiscard]] static bool any_counts(const Patch& patch, std::size_t i);
  [[nodiscard]] std::vector<double> jets_of(std::size_t s, std::size_t i, const std::vector<double>& m) const;
  [[nodiscard]] double mottle_of(std::size_t s, std::size_t i, const ShownInk& shown,
                                 const std::vector<double>& m) const;
  [[nodiscard]] double step_of(std::size_t s, std::size_t view, std::size_t i,
                               const std::vector<double>& m) const;

  const std::vector<ScanLosses>& scans_;
  const PageUnknowns& unknowns_;
  std::size_t inks_;
  std::vector<ViewNumber> numbers_;
  std::vector<Scan> seen_;  // per scan
  std::size_t band_ = 0;
};

template <std::size_t Columns, class Value, class Add>
void PageSamples::carry(std::size_t scan, std::size_t first, std::size_t end, Range range, const Value& value,
                        const Add& add) const {
  using Values = std::array<double, Columns>;
  const auto add_to = [](Values& sum, double factor, const Values& v) {
    for (std::size_t c = 0; c < Columns; ++c) sum[c] += factor * v[c];
  };
  const auto put = [&](std::size_t i, std::size_t unknown, double factor, const Values& v) {
    if (unknown < range.from || unknown >= range.to) return;
    Values part;
    for (std::size_t c = 0; c < Columns; ++c) part[c] = factor * v[c];
    add(i, unknown, part);
  };
  std::vector<Values> together(inks_);  // per ink, of all patches
  std::vector<Values> own(inks_);       // per ink of a patch
  for (std::size_t i = first; i < end; ++i) {
    const Extent& extent = seen_[scan].extents[i];
    if (!extent.meets(range)) continue;
    std::fill(together.begin(), together.end(), Values{});
    for (const Patch& patch : seen_[scan].patches) {
      std::fill(own.begin(), own.end(), Values{});
      for (const View& view : patch.views) {
        const double precision = view.precision[i];
        if (precision == 0) continue;
        const Values v = value(view.number, i);
        for (std::size_t a = 0; a < patch.inks.size(); ++a) add_to(own[a], precision * view.share[a], v);
        if (!extent.steps) continue;
        const SeenStep step = step_seen(scan, view.number, i);
        for (std::size_t k = 0; step.unknowns != nullptr && k < step.part.size(); ++k)
          put(i, (*step.unknowns)[k], precision * step.part[k], v);
      }
      for (std::size_t a = 0; a < patch.inks.size(); ++a) {
        const ShownInk& shown = patch.inks[a];
        add_to(together[shown.ink], 1, own[a]);
        if (shown.knots == nullptr) continue;
        const BetweenKnots& knots = between(scan, i, shown);
        put(i, knots.left, 1 - knots.right_part, own[a]);
        put(i, knots.right, knots.right_part, own[a]);
      }
    }
    for (const PageUnknowns::SeenJet& jet : unknowns_.jets_seen(scan, i)) {
      for (std::size_t ink = 0; ink < inks_; ++ink) put(i, jet.first + ink, jet.weight, together[ink]);
    }
  }
}

}  // namespace scrapetrace::diagnose
