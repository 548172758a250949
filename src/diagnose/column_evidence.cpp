#include "diagnose/column_evidence.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <span>

#include "base/robust.h"
#include "diagnose/banded_cholesky.h"
#include "diagnose/page_unknowns.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kClip = 5;  // standard deviations: what sticks out farther is no faint loss
constexpr std::size_t kFewestMeans = 30;

// The samples that count, with their unknowns: worked out once, gone through several times.
class Samples {
 public:
  Samples(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns) {
    std::vector<Part> parts;
    for (std::size_t s = 0; s < scans.size(); ++s) {
      for (std::size_t p = 0; p < scans[s].patches.size(); ++p) {
        const PatchLoss& patch = scans[s].patches[p];
        for (int i = patch.from; i < patch.to; ++i) {
          const auto sample = static_cast<std::size_t>(i);
          if (patch.variance[sample] <= 0) continue;
          unknowns.parts_of(s, p, sample, parts);
          samples_.push_back({s, p, sample, parts_.size()});
          parts_.insert(parts_.end(), parts.begin(), parts.end());
        }
      }
    }
  }

  [[nodiscard]] std::size_t size() const { return samples_.size(); }

  // Calls visit(scan, patch, sample, parts).
  template <class Visit>
  void each(const Visit& visit) const {
    for (std::size_t k = 0; k < samples_.size(); ++k) {
      const std::size_t end = k + 1 < samples_.size() ? samples_[k + 1].first_part : parts_.size();
      const std::span<const Part> parts(parts_.data() + samples_[k].first_part, end - samples_[k].first_part);
      visit(samples_[k].scan, samples_[k].patch, samples_[k].sample, parts);
    }
  }

 private:
  struct Sample {
    std::size_t scan = 0;
    std::size_t patch = 0;
    std::size_t sample = 0;
    std::size_t first_part = 0;
  };
  std::vector<Sample> samples_;
  std::vector<Part> parts_;
};

std::size_t bandwidth(const Samples& samples) {
  std::size_t band = 0;
  samples.each([&](std::size_t, std::size_t, std::size_t, std::span<const Part> parts) {
    const auto [low, high] = std::minmax_element(
        parts.begin(), parts.end(), [](const Part& a, const Part& b) { return a.unknown < b.unknown; });
    if (low != parts.end()) band = std::max<std::size_t>(band, high->unknown - low->unknown);
  });
  return band;
}

// Losses less what the unknowns explain, per scan and patch, grid-sized.
using Residuals = std::vector<std::vector<std::vector<double>>>;

// The band system D^-1 + W^T N^-1 W, factored, and W^T N^-1 y; false when it is not positive definite.
bool set_up(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns, const Samples& samples,
            BandedCholesky& system, std::vector<double>& right) {
  right.assign(unknowns.size(), 0.0);
  for (std::size_t u = 0; u < unknowns.size(); ++u) system.add(u, u, unknowns.precision(u));
  samples.each([&](std::size_t s, std::size_t p, std::size_t i, std::span<const Part> parts) {
    const PatchLoss& patch = scans[s].patches[p];
    for (const Part& a : parts) {
      const double weight = static_cast<double>(a.weight) / patch.variance[i];
      right[a.unknown] += weight * patch.loss[i];
      for (const Part& b : parts) {
        if (b.unknown <= a.unknown) system.add(a.unknown, b.unknown, weight * static_cast<double>(b.weight));
      }
    }
  });
  return system.factor();
}

// Variance that white noise would need to be as strong as a patch's residuals are at the widths of a streak:
// the largest of 1, 2, 4 and 8 times the variance of means over as many samples. Robust: streaks do not
// count.
double white_equal(const PatchLoss& patch, const std::vector<double>& residual) {
  double most = 0;
  for (int length = 1; length <= 8; length *= 2) {
    std::vector<double> means;
    for (int i = patch.from; i + length <= patch.to; i += length) {
      double sum = 0;
      bool all = true;
      for (int k = i; k < i + length && all; ++k) {
        all = patch.variance[static_cast<std::size_t>(k)] > 0;
        sum += residual[static_cast<std::size_t>(k)];
      }
      if (all) means.push_back(sum / length);
    }
    if (means.size() < kFewestMeans) break;
    most = std::max(most, length * std::pow(robust_sigma(means, median(means)), 2));
  }
  return most;
}

// Part of the samples' variance that the unknowns have left.
double freedom_left(const Samples& samples, const PageUnknowns& unknowns) {
  const auto count = static_cast<double>(std::max<std::size_t>(1, samples.size()));
  return std::max(0.3, 1 - static_cast<double>(unknowns.size()) / count);
}

// Raises the patches' variances to what their residuals show, and the inks' noise with those of their lone
// patches.
void learn_unexplained(const Residuals& residuals, double freedom, std::vector<ScanLosses>& scans,
                       std::vector<std::vector<InkNoise>>& noise) {
  for (std::size_t s = 0; s < scans.size(); ++s) {
    for (std::size_t p = 0; p < scans[s].patches.size(); ++p) {
      PatchLoss& patch = scans[s].patches[p];
      const double shown = white_equal(patch, residuals[s][p]) / freedom;
      double own = 0;  // the largest over the samples that count
      for (const double v : patch.variance) own = std::max(own, v);
      const double more = std::max(0.0, shown - own);
      for (double& v : patch.variance) {
        if (v > 0) v += more;
      }
      if (!patch.single_ink) continue;
      for (InkNoise& n : noise[s]) {
        if (n.ink == patch.ink) n.unexplained_sigma = std::max(n.unexplained_sigma, std::sqrt(more));
      }
    }
  }
}

}  // namespace

class PageFit {
 public:
  PageFit(const Layout& layout, const geometry::ColumnMap& columns, std::vector<ScanLosses> losses,
          const std::vector<std::vector<InkNoise>>& noise, std::size_t asked)
      : asked_(asked),
        losses_(std::move(losses)),
        unknowns_(layout, columns, losses_, noise),
        samples_(losses_, unknowns_),
        band_(bandwidth(samples_)) {}
  PageFit(const PageFit&) = delete;  // the unknowns refer to the losses
  PageFit& operator=(const PageFit&) = delete;

  bool solve() {
    system_ = std::make_unique<BandedCholesky>(unknowns_.size(), band_);
    std::vector<double> likeliest;
    if (!set_up(losses_, unknowns_, samples_, *system_, likeliest)) return false;
    system_->solve(likeliest);
    residuals_.clear();
    for (const ScanLosses& scan : losses_) {
      residuals_.emplace_back();
      for (const PatchLoss& patch : scan.patches) residuals_.back().emplace_back(patch.loss.size(), 0.0);
    }
    samples_.each([&](std::size_t s, std::size_t p, std::size_t i, std::span<const Part> parts) {
      double left = losses_[s].patches[p].loss[i];
      for (const Part& part : parts) left -= static_cast<double>(part.weight) * likeliest[part.unknown];
      residuals_[s][p][i] = left;
    });
    return true;
  }

  void weigh_by_residuals(std::vector<std::vector<InkNoise>>& noise) {
    learn_unexplained(residuals_, freedom_left(samples_, unknowns_), losses_, noise);
  }

  void add_evidence(std::vector<double>& value) const {
    samples_.each([&](std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
      if (s >= asked_) return;
      const double variance = losses_[s].patches[p].variance[i];
      const double most = kClip * std::sqrt(variance);
      const double pull = std::clamp(residuals_[s][p][i], -most, most) / variance;
      for (const SeenColumn& seen : losses_[s].samples[i])
        value[static_cast<std::size_t>(seen.column)] += seen.weight * pull;
    });
  }

  [[nodiscard]] std::vector<double> information(int first, int last) const;

 private:
  std::size_t asked_;
  std::vector<ScanLosses> losses_;
  PageUnknowns unknowns_;
  Samples samples_;
  std::size_t band_;
  std::unique_ptr<BandedCholesky> system_;
  Residuals residuals_;
};

std::vector<double> PageFit::information(int first, int last) const {
  const auto n = static_cast<std::size_t>(last - first + 1);
  std::vector<double> out(n * n, 0.0);
  std::vector<std::map<std::size_t, double>> shared(n);  // W^T N^-1 B, by column
  samples_.each([&](std::size_t s, std::size_t p, std::size_t i, std::span<const Part> parts) {
    if (s >= asked_) return;
    const double variance = losses_[s].patches[p].variance[i];
    for (const SeenColumn& a : losses_[s].samples[i]) {
      if (a.column < first || a.column > last) continue;
      const auto row = static_cast<std::size_t>(a.column - first);
      const double weight = a.weight / variance;
      for (const SeenColumn& b : losses_[s].samples[i]) {
        if (b.column >= first && b.column <= last)
          out[row * n + static_cast<std::size_t>(b.column - first)] += weight * b.weight;
      }
      for (const Part& part : parts) shared[row][part.unknown] += weight * static_cast<double>(part.weight);
    }
  });
  for (std::size_t row = 0; row < n; ++row) {
    if (shared[row].empty()) continue;
    std::vector<double> explained(unknowns_.size(), 0.0);
    for (const auto& [unknown, weight] : shared[row]) explained[unknown] = weight;
    system_->solve(explained);
    for (std::size_t c = 0; c < n; ++c) {
      for (const auto& [unknown, weight] : shared[c]) out[row * n + c] -= weight * explained[unknown];
    }
  }
  return out;
}

std::vector<double> ColumnEvidence::information(int first, int last) const {
  return fit->information(first, last);
}

ColumnEvidence column_evidence(const Layout& layout, const geometry::ColumnMap& columns,
                               const std::vector<PreparedScan>& scans,
                               const std::vector<std::vector<InkNoise>>& noise,
                               const std::vector<Interval>& blind_mm, std::size_t asked) {
  std::vector<ScanLosses> losses;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    losses.push_back({scans[s].strips.grid, seen_columns(layout, columns, scans[s]),
                      patch_losses(scans[s], noise[s], layout.inks.size(), blind_mm)});
  }
  ColumnEvidence out{std::vector<double>(static_cast<std::size_t>(columns.columns()), 0.0), noise, nullptr};
  const auto fit = std::make_shared<PageFit>(layout, columns, std::move(losses), noise, asked);
  if (!fit->solve()) return out;
  fit->weigh_by_residuals(out.noise);
  if (!fit->solve()) return out;
  fit->add_evidence(out.value);
  out.fit = fit;
  return out;
}

}  // namespace scrapetrace::diagnose
