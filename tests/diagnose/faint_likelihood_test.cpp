// Faint scrapes, confirmed by what the whole page shows of each column.

#include "diagnose/faint_likelihood.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "diagnose/column_footprints.h"
#include "diagnose/diagnose_region.h"
#include "diagnose/pages.h"
#include "diagnose/trial_causes.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_machine;
using testing::noisy_page;
using testing::region_of;

// The evidence is linear in the losses: its change by a known loss, worked out by solving the page again,
// must be the information times that loss, which is worked out column by column.
TEST(ColumnEvidence, GrowsByItsInformationTimesALoss) {
  const Layout layout = bench_machine();
  const geometry::ColumnMap columns(layout);
  PreparedScan scan = noisy_page(layout, {}, 4);
  const std::vector<std::vector<InkNoise>> noise{measure_ink_noise(layout, columns, scan)};
  const auto before = column_evidence(layout, columns, {scan}, noise, {});
  ASSERT_NE(before.fit, nullptr);
  constexpr double kLoss = 1e-3;
  const int lost = static_cast<int>(48 / layout.px_mm());
  constexpr int kWide = 6;
  const ColumnFootprints footprints(layout, columns, scan.strips.grid, registered(scan));
  const auto& seen = footprints.seen();
  for (profile::InkView& view : scan.views.inked) {
    const auto& strip = scan.strips.strips[view.strip];
    for (int i = strip.from; i < strip.to; ++i) {
      for (const SeenColumn& s : seen[static_cast<std::size_t>(i)]) {
        if (s.column >= lost && s.column < lost + kWide)
          view.loss[static_cast<std::size_t>(i)] += static_cast<float>(kLoss * s.weight);
      }
    }
  }
  const auto after = column_evidence(layout, columns, {scan}, noise, {});
  const auto information = before.information(lost, lost + kWide - 1);
  std::vector<double> expected(kWide, 0.0);
  for (int row = 0; row < kWide; ++row) {
    for (int c = 0; c < kWide; ++c)
      expected[static_cast<std::size_t>(row)] +=
          kLoss * information[static_cast<std::size_t>(row * kWide + c)];
  }
  // The page's noise, and how the scan lies, are measured anew with the loss: that changes all evidence by a
  // little.
  const double most = *std::max_element(expected.begin(), expected.end());
  ASSERT_GT(most, 0);
  for (std::size_t row = 0; row < kWide; ++row) {
    const auto at = static_cast<std::size_t>(lost) + row;
    EXPECT_NEAR(after.value[at] - before.value[at], expected[row], 0.07 * most) << row;
  }
}

TEST(ColumnEvidence, IsTheSameOnAnyNumberOfThreads) {
  const Layout layout = testing::standing_off(0.03);
  const geometry::ColumnMap columns(layout);
  const std::vector<PreparedScan> scans{noisy_page(layout, testing::one_scrape(47, 0.8, 0.02), 6),
                                        noisy_page(layout, {}, 7)};
  std::vector<std::vector<InkNoise>> noise;
  for (const auto& scan : scans) noise.push_back(measure_ink_noise(layout, columns, scan));
  const auto on = [&](int threads) {
    return column_evidence(layout, columns, scans, noise, {{30, 31}}, scans.size(), threads);
  };
  const auto one = on(1);
  ASSERT_NE(one.fit, nullptr);
  EXPECT_GT(*std::max_element(one.value.begin(), one.value.end()), 0);
  for (const int threads : {2, 5}) {
    const auto several = on(threads);
    EXPECT_EQ(several.value, one.value) << threads;
    EXPECT_EQ(several.by_ink, one.by_ink) << threads;
    EXPECT_EQ(several.information(700, 720), one.information(700, 720)) << threads;
  }
}

TEST(DiagnoseRegion, ConfirmsAFaintScrapeByTheWholePage) {
  const Layout layout = bench_machine();
  const geometry::ColumnMap columns(layout);
  const auto zones = geometry::target_zones(layout);
  const Causes causes = testing::one_scrape(47, 0.8, 0.006);  // a fifth of the jets' variation
  for (std::uint64_t seed = 1; seed <= 2; ++seed) {
    for (const bool scraped : {true, false}) {
      const std::vector<PreparedScan> scans{noisy_page(layout, scraped ? causes : Causes(), seed)};
      const auto evidence =
          column_evidence(layout, columns, scans, {measure_ink_noise(layout, columns, scans[0])}, {});
      const PageContext page{layout, columns, zones, scans, evidence.noise, nullptr, &evidence};
      streak::Region region;
      region.x_mm = region_of(layout, columns, causes.residues.front());
      region.z = 7;
      region.ink_lost = region.faint = true;
      const auto found = diagnose_region(page, {region}, 0, {});
      ASSERT_EQ(found.size(), scraped ? 1U : 0U) << seed;
      if (!scraped) continue;
      EXPECT_GT(found[0].causes[static_cast<std::size_t>(Cause::residue)], 0.9) << seed;
      const auto best = std::max_element(
          found[0].residue.cells.begin(), found[0].residue.cells.end(),
          [](const ResidueCell& a, const ResidueCell& b) { return a.log_weight < b.log_weight; });
      EXPECT_NEAR(best->loss, 0.006, 0.003) << seed;
    }
  }
}

}  // namespace
}  // namespace scrapetrace::diagnose
