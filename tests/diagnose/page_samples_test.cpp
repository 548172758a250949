// W of the page's fit, which is nowhere written out, by what must hold of it.

#include "diagnose/page_samples.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <optional>
#include <random>

#include "diagnose/independent_views.h"
#include "diagnose/pages.h"
#include "diagnose/patch_losses.h"

namespace scrapetrace::diagnose {
namespace {

// Two scans of a machine whose carriages stand off, so that all kinds of unknowns are there, with a blind
// stretch.
class PageSamplesOf : public ::testing::TestWithParam<bool> {
 protected:
  PageSamplesOf() {
    for (const std::uint64_t seed : {3, 4}) {
      const PreparedScan scan = testing::noisy_page(layout_, {}, seed);
      noise_.push_back(measure_ink_noise(layout_, columns_, scan));
      scans_.push_back({scan.strips.grid,
                        ColumnFootprints(layout_, columns_, scan.strips.grid, registered(scan)),
                        patch_losses(layout_, columns_, scan, noise_.back(), {{30, 33}})});
    }
    if (GetParam()) mix_views();
    unknowns_.emplace(layout_, columns_, scans_, noise_);
    samples_.emplace(scans_, *unknowns_, 1);
  }

  // As make_independent() leaves them: shares that are no longer parts of a whole.
  void mix_views() {
    for (ScanLosses& scan : scans_) {
      std::vector<std::vector<double>> residuals;
      for (const PatchLoss& view : scan.patches) residuals.push_back(view.loss);
      make_independent(residuals, scan.patches);
    }
  }

  std::vector<double> random_unknowns() { return random(unknowns_->size()); }

  BySample random_samples() {
    BySample out = samples_->zeros();
    for (auto& of_scan : out) {
      for (auto& of_view : of_scan) of_view = random(of_view.size());
    }
    return out;
  }

  // a^T N^-1 b over the samples that count.
  [[nodiscard]] double product(const BySample& a, const BySample& b) const {
    double sum = 0;
    for (std::size_t s = 0; s < scans_.size(); ++s) {
      for (std::size_t p = 0; p < scans_[s].patches.size(); ++p) {
        samples_->each_of(
            s, p, [&](std::size_t i) { sum += a[s][p][i] * b[s][p][i] / scans_[s].patches[p].variance[i]; });
      }
    }
    return sum;
  }

  Layout layout_ = testing::standing_off(0.05);
  geometry::ColumnMap columns_{layout_};
  std::vector<std::vector<InkNoise>> noise_;
  std::vector<ScanLosses> scans_;
  std::optional<PageUnknowns> unknowns_;
  std::optional<PageSamples> samples_;

  std::vector<double> random(std::size_t size) {
    std::vector<double> out(size);
    std::uniform_real_distribution<double> value(-1, 1);
    for (double& v : out) v = value(random_);
    return out;
  }

 private:
  std::mt19937 random_{11};
};

TEST_P(PageSamplesOf, SeeAJetByTheColumnsThatItLaysAndTheInksOfTheView) {
  std::vector<double> m(unknowns_->size(), 0.0);
  const int column = columns_.printed().first + 500;
  const std::size_t ink = 1;
  const std::size_t jet = unknowns_->jet(column);
  m[jet + ink] = 1;
  const BySample lost = samples_->of_unknowns(m, 1);
  std::size_t seen = 0;
  for (std::size_t s = 0; s < scans_.size(); ++s) {
    for (std::size_t p = 0; p < scans_[s].patches.size(); ++p) {
      const PatchLoss& view = scans_[s].patches[p];
      const double share = std::abs(view.share[ink]) < kFaintestShare ? 0 : view.share[ink];
      samples_->each_of(s, p, [&](std::size_t i) {
        double weight = 0;
        for (const SeenColumn& c : scans_[s].footprints.seen()[i]) {
          if (unknowns_->jet(c.column) == jet) weight += c.weight;
        }
        EXPECT_NEAR(lost[s][p][i], share * weight, 1e-12);
        if (weight > 0 && share != 0) ++seen;
      });
    }
  }
  EXPECT_GT(seen, 20U);
}

TEST_P(PageSamplesOf, CarryBackWhatTheySeeOfTheUnknowns) {
  const std::vector<double> m = random_unknowns();
  const BySample y = random_samples();
  const std::vector<double> back = samples_->to_unknowns(y, 1);
  const double there = product(samples_->of_unknowns(m, 1), y);
  EXPECT_NEAR(std::inner_product(m.begin(), m.end(), back.begin(), 0.0), there, 1e-9 * std::abs(there));
  EXPECT_EQ(samples_->to_unknowns(y, 3), back);
  EXPECT_EQ(samples_->of_unknowns(m, 3), samples_->of_unknowns(m, 1));
}

TEST_P(PageSamplesOf, AddUpToASystemThatTheySolve) {
  constexpr double kPrior = 50;
  BandedCholesky system(unknowns_->size(), samples_->band());
  for (std::size_t u = 0; u < unknowns_->size(); ++u) system.add(u, u, kPrior);
  samples_->add_to(system, 2);
  ASSERT_TRUE(system.factor());
  const std::vector<double> right = random_unknowns();
  std::vector<double> x = right;
  system.solve(x);
  const std::vector<double> left = samples_->to_unknowns(samples_->of_unknowns(x, 1), 1);
  for (std::size_t u = 0; u < x.size(); ++u) EXPECT_NEAR(left[u] + kPrior * x[u], right[u], 1e-8) << u;
}

TEST_P(PageSamplesOf, AddUpToTheSameSystemOnAnyNumberOfThreads) {
  const auto solved = [&](int threads) {
    BandedCholesky system(unknowns_->size(), samples_->band());
    for (std::size_t u = 0; u < unknowns_->size(); ++u) system.add(u, u, 1);
    samples_->add_to(system, threads);
    EXPECT_TRUE(system.factor());
    std::vector<double> x(unknowns_->size(), 1.0);
    system.solve(x);
    return x;
  };
  EXPECT_EQ(solved(3), solved(1));
}

TEST_P(PageSamplesOf, ShareLossesOfAllInksOrOneLikeAnyOtherLoss) {
  constexpr std::size_t kScan = 1;
  constexpr std::size_t kFirst = 400;
  const std::vector<double> parts{0.2, 0, 0.7, 1, 0.1};
  for (const std::optional<std::size_t> ink : {std::optional<std::size_t>(), {std::size_t{2}}}) {
    BySample lost = samples_->zeros();
    for (std::size_t p = 0; p < scans_[kScan].patches.size(); ++p) {
      for (std::size_t k = 0; k < parts.size(); ++k)
        lost[kScan][p][kFirst + k] = parts[k] * share_of(scans_[kScan].patches[p], ink);
    }
    const auto range = samples_->seen_by(kScan, kFirst, kFirst + parts.size());
    std::vector<double> shared(range.to - range.from, 0.0);
    const double own = samples_->carry_loss(kScan, kFirst, parts, ink, range.from, shared);
    EXPECT_NEAR(own, product(lost, lost), 1e-9 * own);
    EXPECT_GT(own, 0);
    const std::vector<double> all = samples_->to_unknowns(lost, 1);
    for (std::size_t u = 0; u < all.size(); ++u) {
      const double there = u >= range.from && u < range.to ? shared[u - range.from] : 0;
      EXPECT_NEAR(there, all[u], 1e-9 * own) << u;
    }
  }
}

// What is lost of the inks is the same, whether views tell of it or the inks themselves.
TEST_P(PageSamplesOf, WeighWhatInksLoseLikeWhatViewsLoseOfThem) {
  constexpr std::size_t kScan = 1;
  const auto size = static_cast<std::size_t>(scans_[kScan].grid.size);
  std::vector<std::vector<double>> of_inks;
  for (std::size_t ink = 0; ink < layout_.inks.size(); ++ink) of_inks.push_back(random(size));
  BySample lost = samples_->zeros();
  for (std::size_t p = 0; p < scans_[kScan].patches.size(); ++p) {
    for (std::size_t ink = 0; ink < of_inks.size(); ++ink) {
      const double share = scans_[kScan].patches[p].share[ink];
      if (std::abs(share) < kFaintestShare) continue;
      for (std::size_t i = 0; i < size; ++i) lost[kScan][p][i] += share * of_inks[ink][i];
    }
  }
  const auto weighed = samples_->weigh_inks(kScan, of_inks, 2);
  std::vector<double> columns(2 * unknowns_->size(), 0.0);  // the second one of every other sample only
  std::vector<double> every_other(size, 0.0);
  for (std::size_t i = 0; i < size; i += 2) every_other[i] = 1;
  samples_->carry(kScan, {{0, &weighed, {0, size}, {}}, {1, &weighed, {0, size}, every_other}}, 2, columns,
                  2);
  const std::vector<double> all = samples_->to_unknowns(lost, 1);
  for (auto& view : lost[kScan]) {
    for (std::size_t i = 1; i < size; i += 2) view[i] = 0;
  }
  const std::vector<double> half = samples_->to_unknowns(lost, 1);
  const double scale = std::abs(*std::max_element(all.begin(), all.end()));
  for (std::size_t u = 0; u < all.size(); ++u) {
    EXPECT_NEAR(columns[2 * u], all[u], 1e-12 * scale) << u;
    EXPECT_NEAR(columns[2 * u + 1], half[u], 1e-12 * scale) << u;
  }
}

INSTANTIATE_TEST_SUITE_P(Views, PageSamplesOf, ::testing::Bool(),
                         [](const auto& which) { return std::string(which.param ? "Combined" : "AsSeen"); });

}  // namespace
}  // namespace scrapetrace::diagnose
