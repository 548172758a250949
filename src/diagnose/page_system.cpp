// W^T N^-1 W. Views weigh the same over long stretches of samples, and what they see is s (x) w: so products
// of what samples see of jets and knots are summed up first, and weighed where a stretch, or the space
// between two knots, ends.

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>
#include <utility>

#include "diagnose/page_samples.h"

namespace scrapetrace::diagnose {

namespace {

// out += factor values; `Inks`: how many there are, where that is known beforehand, else 0.
template <std::size_t Inks>
void add_row(double factor, const double* values, std::size_t inks, double* out) {
  for (std::size_t b = 0; b < (Inks > 0 ? Inks : inks); ++b) out[b] += factor * values[b];
}

}  // namespace

// Of one scan, sample after sample, for the rows of a range of the unknowns.
class PageSamples::Sums {
 public:
  Sums(const PageSamples& samples, std::size_t scan, BandedCholesky& system, Range rows)
      : samples_(samples),
        scan_(scan),
        system_(system),
        rows_(rows),
        inks_(samples.inks_),
        jets_(samples.unknowns_.jets()) {
    const auto& all = samples.seen_[scan];
    for (std::size_t i = 0; i < all.extents.size(); ++i) {
      const auto seen = samples.unknowns_.jets_seen(scan, i);
      if (!seen.empty()) width_ = std::max(width_, seen.back().rank - seen.front().rank + 1);
    }
    of_jets_.resize(jets_.size() * width_);
    for (const Patch& patch : all.patches) {
      OfPatch& own = patches_.emplace_back();
      own.inks.resize(patch.inks.size());
      own.pairs.resize(patch.inks.size() * patch.inks.size());
      for (OfInk& ink : own.inks) ink.of_jets.resize(jets_.size());
    }
  }

  template <std::size_t Inks>
  void add_all() {
    const auto& extents = samples_.seen_[scan_].extents;
    for (std::size_t i = 0; i < extents.size(); ++i) {
      if (extents[i].meets(rows_)) add<Inks>(i);
    }
    finish<Inks>();
  }

 private:
  template <std::size_t Inks>
  void add(std::size_t i) {
    const Scan& scan = samples_.seen_[scan_];
    if (scan.stretch[i] != stretch_) {
      finish<Inks>();
      stretch_ = scan.stretch[i];
      weights_ = &scan.stretches[stretch_];
      for (std::size_t p = 0; p < patches_.size(); ++p) patches_[p].any = any_counts(scan.patches[p], i);
    }
    const auto jets = samples_.unknowns_.jets_seen(scan_, i);
    for (std::size_t j = 0; j < jets.size(); ++j) {
      double* const out = of_jets_.data() + jets[j].rank * width_ + jets[j].rank;
      for (std::size_t k = 0; k <= j; ++k)
        out[-static_cast<std::ptrdiff_t>(jets[k].rank)] += jets[j].weight * jets[k].weight;
    }
    if (!jets.empty()) touched_.add(jets.front().rank, jets.back().rank);
    for (std::size_t p = 0; p < patches_.size(); ++p) {
      if (patches_[p].any) add_patch<Inks>(p, i);
    }
  }

  // Weighs what has been summed up and adds it to the system.
  template <std::size_t Inks>
  void finish() {
    put_jets<Inks>();
    for (std::size_t p = 0; p < patches_.size(); ++p) {
      for (std::size_t a = 0; a < patches_[p].inks.size(); ++a) put_ink<Inks>(p, a);
    }
  }

  // Ranks of the jets that sums have been made of.
  struct Touched {
    std::size_t from = 0;
    std::size_t to = 0;

    [[nodiscard]] bool none() const { return from >= to; }
    void add(std::size_t first, std::size_t last) {
      from = none() ? first : std::min(from, first);
      to = std::max(to, last + 1);
    }
  };

  using Two = std::array<double, 2>;  // of the knot to the left and that to the right
  using Four = std::array<double, 4>;
  struct OfInk {  // of a patch, between two of its knots
    std::array<std::size_t, 2> knots{};
    bool begun = false;
    Two parts{};               // of the sample at hand
    std::vector<Two> of_jets;  // by rank
    Touched touched;
  };
  struct OfPatch {
    bool any = false;  // counts
    std::vector<OfInk> inks;
    std::vector<Four> pairs;  // of two of its inks' knots, the second not after the first
  };

  template <std::size_t Inks>
  void add_patch(std::size_t p, std::size_t i) {
    const Patch& patch = samples_.seen_[scan_].patches[p];
    OfPatch& own = patches_[p];
    const auto jets = samples_.unknowns_.jets_seen(scan_, i);
    for (std::size_t a = 0; a < patch.inks.size(); ++a) {
      if (patch.inks[a].knots == nullptr) continue;
      const BetweenKnots& at = samples_.between(scan_, i, patch.inks[a]);
      OfInk& ink = own.inks[a];
      if (!ink.begun || ink.knots[0] != at.left) {
        put_ink<Inks>(p, a);
        ink.knots = {at.left, at.right};
        ink.begun = true;
      }
      ink.parts = {1 - at.right_part, at.right_part};
      for (const PageUnknowns::SeenJet& jet : jets) {
        Two& out = ink.of_jets[jet.rank];
        out[0] += ink.parts[0] * jet.weight;
        out[1] += ink.parts[1] * jet.weight;
      }
      if (!jets.empty()) ink.touched.add(jets.front().rank, jets.back().rank);
    }
    for (std::size_t a = 0; a < own.inks.size(); ++a) {
      for (std::size_t b = 0; b <= a; ++b) {
        const Two& x = own.inks[a].parts;
        const Two& y = own.inks[b].parts;
        Four& out = own.pairs[a * own.inks.size() + b];
        out[0] += x[0] * y[0];
        out[1] += x[0] * y[1];
        out[2] += x[1] * y[0];
        out[3] += x[1] * y[1];
      }
    }
    if (samples_.seen_[scan_].extents[i].steps) add_steps(patch, own, i);
  }

  // S N^-1 S^T of a patch, of one of its inks and any.
  [[nodiscard]] const double* weight_of(std::size_t p, std::size_t a) const {
    return weights_->weight.data() + samples_.seen_[scan_].patches[p].inks[a].place * inks_;
  }
  [[nodiscard]] bool has(std::size_t row) const { return row >= rows_.from && row < rows_.to; }
  void put(std::size_t a, std::size_t b, double value) {
    const std::size_t row = std::max(a, b);
    if (has(row)) system_.add(row, std::min(a, b), value);
  }

  template <std::size_t Inks>
  void put_jets() {
    for (std::size_t j = touched_.from; j < touched_.to; ++j) {
      for (std::size_t k = j + 1 - std::min(j + 1, width_); k <= j; ++k) {
        double& sum = of_jets_[j * width_ + (j - k)];
        if (sum == 0) continue;
        for (std::size_t a = 0; a < inks_; ++a) {
          const std::size_t row = jets_[j] + a;
          if (!has(row)) continue;
          double* const out = system_.entries(row, jets_[k]) + jets_[k];
          const double* const weight = weights_->together.data() + a * inks_;
          k < j ? add_row<Inks>(sum, weight, inks_, out) : add_row<0>(sum, weight, a + 1, out);
        }
        sum = 0;
      }
    }
    touched_ = {};
  }

  // All that hangs on the knots that an ink of a patch is between.
  template <std::size_t Inks>
  void put_ink(std::size_t p, std::size_t a) {
    OfPatch& own = patches_[p];
    OfInk& ink = own.inks[a];
    if (!ink.begun) return;
    ink.begun = false;
    const double* const weight = weight_of(p, a);
    for (std::size_t rank = ink.touched.from; rank < ink.touched.to; ++rank) {
      const Two sums = std::exchange(ink.of_jets[rank], Two{});
      for (std::size_t side = 0; side < 2; ++side) {
        if (sums[side] != 0) put_knot<Inks>(ink.knots[side], jets_[rank], sums[side], weight);
      }
    }
    ink.touched = {};
    for (std::size_t b = 0; b < own.inks.size(); ++b) put_pair(p, std::max(a, b), std::min(a, b));
  }

  // The products of a knot and a jet's inks.
  template <std::size_t Inks>
  void put_knot(std::size_t knot, std::size_t jet, double sum, const double* weight) {
    if (knot > jet) {
      if (has(knot)) add_row<Inks>(sum, weight, inks_, system_.entries(knot, jet) + jet);
    } else {
      for (std::size_t b = 0; b < inks_; ++b) {
        if (weight[b] != 0) put(jet + b, knot, sum * weight[b]);
      }
    }
  }

  void put_pair(std::size_t p, std::size_t a, std::size_t b) {
    OfPatch& own = patches_[p];
    const Four sums = std::exchange(own.pairs[a * own.inks.size() + b], Four{});
    const std::size_t ink = samples_.seen_[scan_].patches[p].inks[b].ink;
    for (std::size_t k = 0; k < sums.size(); ++k) {
      const std::size_t x = k / 2;
      const std::size_t y = k % 2;
      if (sums[k] == 0 || (a == b && y > x)) continue;
      put(own.inks[a].knots[x], own.inks[b].knots[y], sums[k] * weight_of(p, a)[ink]);
    }
  }

  void add_steps(const Patch& patch, const OfPatch& own, std::size_t i) {
    for (const View& view : patch.views) {
      const SeenStep step = samples_.step_seen(scan_, view.number, i);
      if (step.unknowns == nullptr || view.precision[i] == 0) continue;
      for (std::size_t k = 0; k < step.part.size(); ++k) {
        const std::size_t unknown = (*step.unknowns)[k];
        const double part = view.precision[i] * step.part[k];
        for (std::size_t j = 0; j <= k; ++j) put(unknown, (*step.unknowns)[j], part * step.part[j]);
        for (std::size_t a = 0; a < own.inks.size(); ++a) {
          const double shown = part * view.share[a];
          for (std::size_t side = 0; side < 2 && patch.inks[a].knots != nullptr; ++side)
            put(unknown, own.inks[a].knots[side], shown * own.inks[a].parts[side]);
          for (const PageUnknowns::SeenJet& jet : samples_.unknowns_.jets_seen(scan_, i))
            put(unknown, jet.first + patch.inks[a].ink, shown * jet.weight);
        }
      }
    }
  }

  const PageSamples& samples_;
  std::size_t scan_;
  BandedCholesky& system_;
  Range rows_;
  std::size_t inks_;
  const std::vector<std::size_t>& jets_;  // their numbers, by rank
  std::size_t width_ = 1;                 // of the ranks that a sample sees
  std::uint32_t stretch_ = std::numeric_limits<std::uint32_t>::max();
  const Stretch* weights_ = nullptr;
  std::vector<double> of_jets_;  // by rank and how much lower the other's is
  Touched touched_;
  std::vector<OfPatch> patches_;
};

// Four inks are what most machines have: their loops are of a known length.
void PageSamples::add_to(BandedCholesky& system, int threads) const {
  const std::size_t ranges = thread_count(threads);
  for_each_part(ranges, threads, [&](std::size_t r) {
    const Range rows{unknowns_.size() * r / ranges, unknowns_.size() * (r + 1) / ranges};
    for (std::size_t s = 0; s < seen_.size(); ++s) {
      Sums sums(*this, s, system, rows);
      inks_ == 4 ? sums.add_all<4>() : sums.add_all<0>();
    }
  });
}

}  // namespace scrapetrace::diagnose
