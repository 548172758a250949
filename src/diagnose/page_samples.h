#pragma once
// What the samples of a page's patches see of its unknowns: W of column_evidence.h. All patches of a scan see
// the same jets w, and all views of a patch the same mottle, each in the parts s that inks have in it: a
// view's rows of W are s (x) w, which is never written out. Sums over views are taken before what they see is
// looked at.

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
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

  // Of unknowns, or of samples: [from, to).
  struct Range {
    std::size_t from = 0;
    std::size_t to = 0;
  };
  // What a loss has in common with the unknowns: adds W^T N^-1 l to `out`, which begins with unknown `from`
  // and holds all that the samples see, where samples first, first + 1, ... of a scan lose the `parts` of all
  // inks alike, or of one. Returns l^T N^-1 l.
  double carry_loss(std::size_t scan, std::size_t first, const std::vector<double>& parts,
                    std::optional<std::size_t> ink, std::size_t from, std::vector<double>& out) const;

  // What a scan's samples lose, weighed by N^-1 and taken apart by what views show of the inks: S N^-1 y.
  struct ByInk {
    std::vector<std::vector<double>> of_patches;  // by patch and ink
    std::vector<std::vector<double>> together;    // of all patches, by ink
    struct Step {                                 // the same of what steps at seams differ by
      std::size_t sample = 0;
      std::size_t unknown = 0;
      double value = 0;
    };
    std::vector<Step> steps;
  };
  // Of samples that lose y, by view; 0 where one does not count.
  [[nodiscard]] ByInk weigh(std::size_t scan, const std::vector<std::vector<double>>& y, int threads) const;
  // Of samples that lose x of the inks, by ink: what views show of it is S^T x.
  [[nodiscard]] ByInk weigh_inks(std::size_t scan, const std::vector<std::vector<double>>& x,
                                 int threads) const;
  // A column of matrices of the unknowns, and what goes there.
  struct Column {
    std::size_t number = 0;
    const ByInk* lost = nullptr;
    Range samples;
    std::vector<double> factors;  // of the samples; empty: 1

    [[nodiscard]] double factor(std::size_t i) const {
      return factors.empty() ? 1 : factors[i - samples.from];
    }
  };
  // Adds W^T N^-1 of what a scan's samples lose to columns of `out`, which has `width` of them, unknown by
  // unknown.
  void carry(std::size_t scan, const std::vector<Column>& columns, std::size_t width,
             std::vector<double>& out, int threads) const;
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

 private:
  struct ViewNumber {
    std::size_t scan = 0;
    std::size_t view = 0;
  };
  struct View {
    std::size_t number = 0;
    std::vector<double> precision;  // of its samples; 0: does not count
    std::vector<double> share;      // of the patch's inks
  };
  struct ShownInk {
    std::size_t ink = 0;
    const PageUnknowns::Knots* knots = nullptr;  // null: none
    std::size_t place = 0;                       // among all inks of all patches
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
  struct Loss {                  // l of a sample
    double square = 0;           // l^T N^-1 l
    std::vector<double> shared;  // S N^-1 l, by place
  };
  struct Stretch {                 // of samples, on which every view's variance stays the same
    std::vector<double> weight;    // S N^-1 S^T, by place and ink
    std::vector<double> together;  // of all patches, by two inks
    std::vector<Loss> losses;      // of all inks alike, then of each
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
    std::vector<BetweenKnots> between;   // by place, then by sample
    std::size_t places = 0;              // inks of all patches
    std::vector<std::uint32_t> stretch;  // of each sample: its number
    std::vector<Stretch> stretches;
  };
  class Sums;

  void add_patches(std::size_t s, int threads);
  [[nodiscard]] std::vector<ShownInk> shown_inks(std::size_t s, int patch) const;
  void find_knots(std::size_t s, std::size_t i);
  [[nodiscard]] const BetweenKnots& between(std::size_t s, std::size_t i, const ShownInk& shown) const {
    return seen_[s].between[shown.place * seen_[s].extents.size() + i];
  }
  // Of a sample and the patches that count there: the unknowns' numbers; returns how far apart a patch has
  // them.
  std::size_t measure_extent(std::size_t s, std::size_t i);
  void find_stretches(std::size_t s);
  [[nodiscard]] Stretch stretch_at(std::size_t s, std::size_t i) const;
  [[nodiscard]] Loss loss_at(std::size_t s, std::size_t i, std::optional<std::size_t> ink) const;
  // The step at a seam that a view's sample sees: its unknowns, null for none, and the parts of them.
  struct SeenStep {
    const PageUnknowns::StepNumbers* unknowns = nullptr;
    std::array<double, kSeamShapes> part{};
  };
  [[nodiscard]] SeenStep step_seen(std::size_t s, std::size_t view, std::size_t i) const;
  [[nodiscard]] static bool any_counts(const Patch& patch, std::size_t i);
  // Of the samples that count: adds what they make of the unknowns beside seams.
  void add_steps(std::size_t s, Range samples, const std::vector<double>& m,
                 std::vector<std::vector<double>>& out) const;
  [[nodiscard]] ByInk noughts(std::size_t s) const;
  template <class Value>
  void weigh_steps(std::size_t s, ByInk& out, const Value& value) const;
  void carry_jets(std::size_t s, const Column& column, std::size_t width, double* out) const;
  void carry_knots(std::size_t s, const ShownInk& shown, const Column& column, std::size_t width,
                   double* out) const;

  const std::vector<ScanLosses>& scans_;
  const PageUnknowns& unknowns_;
  std::size_t inks_;
  std::vector<ViewNumber> numbers_;
  std::vector<Scan> seen_;  // per scan
  std::size_t band_ = 0;
};

}  // namespace scrapetrace::diagnose
