#include "diagnose/column_evidence.h"

#include <algorithm>
#include <cmath>
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

// The likeliest values of the unknowns, given the losses; empty when they cannot be solved for.
std::vector<double> solve(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns,
                          const Samples& samples, std::size_t band) {
  BandedCholesky system(unknowns.size(), band);
  std::vector<double> right(unknowns.size(), 0.0);
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
  if (!system.factor()) return {};
  system.solve(right);
  return right;
}

// Losses less what the unknowns explain, per scan and patch, grid-sized.
using Residuals = std::vector<std::vector<std::vector<double>>>;

Residuals residuals_of(const std::vector<ScanLosses>& scans, const PageUnknowns& unknowns,
                       const Samples& samples, std::size_t band) {
  const std::vector<double> likeliest = solve(scans, unknowns, samples, band);
  if (likeliest.empty()) return {};
  Residuals out;
  for (const ScanLosses& scan : scans) {
    out.emplace_back();
    for (const PatchLoss& patch : scan.patches) out.back().emplace_back(patch.loss.size(), 0.0);
  }
  samples.each([&](std::size_t s, std::size_t p, std::size_t i, std::span<const Part> parts) {
    double left = scans[s].patches[p].loss[i];
    for (const Part& part : parts) left -= static_cast<double>(part.weight) * likeliest[part.unknown];
    out[s][p][i] = left;
  });
  return out;
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

ColumnEvidence column_evidence(const Layout& layout, const geometry::ColumnMap& columns,
                               const std::vector<PreparedScan>& scans,
                               const std::vector<std::vector<InkNoise>>& noise,
                               const std::vector<Interval>& blind_mm) {
  std::vector<ScanLosses> losses;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    losses.push_back({scans[s].strips.grid, seen_columns(layout, columns, scans[s]),
                      patch_losses(scans[s], noise[s], layout.inks.size(), blind_mm)});
  }
  const PageUnknowns unknowns(layout, columns, losses, noise);
  ColumnEvidence out{std::vector<double>(static_cast<std::size_t>(columns.columns()), 0.0), noise};
  const Samples samples(losses, unknowns);
  const std::size_t band = bandwidth(samples);
  Residuals residuals = residuals_of(losses, unknowns, samples, band);
  if (residuals.empty()) return out;
  learn_unexplained(residuals, freedom_left(samples, unknowns), losses, out.noise);
  residuals = residuals_of(losses, unknowns, samples, band);
  if (residuals.empty()) return out;
  for (std::size_t s = 0; s < losses.size(); ++s) {
    for (std::size_t p = 0; p < losses[s].patches.size(); ++p) {
      const PatchLoss& patch = losses[s].patches[p];
      for (int i = patch.from; i < patch.to; ++i) {
        const auto k = static_cast<std::size_t>(i);
        if (patch.variance[k] <= 0) continue;
        const double most = kClip * std::sqrt(patch.variance[k]);
        const double pull = std::clamp(residuals[s][p][k], -most, most) / patch.variance[k];
        for (const SeenColumn& seen : losses[s].samples[k])
          out.value[static_cast<std::size_t>(seen.column)] += seen.weight * pull;
      }
    }
  }
  return out;
}

}  // namespace scrapetrace::diagnose
