// Regions wider than anything that the diagnosis knows of.

#include <gtest/gtest.h>

#include "causes/pages.h"
#include "diagnose/diagnose_region.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_chart;
using testing::bench_machine;

double unknown(const Explanation& e) {
  return e.causes[static_cast<std::size_t>(Cause::unknown)];
}

TEST(DiagnoseRegion, SeeksNoCauseForMoreThanSoManyCanCover) {
  const Layout layout = bench_machine();
  const geometry::Machine machine(layout);
  constexpr double kLoss = 0.4;
  Causes causes;
  causes.scratches = {{40, 6, kLoss, {}}};  // even, so that light and ink lose alike
  const std::vector<profile::PreparedScan> scans{
      testing::prepared_scan(layout, bench_chart(), causes, {}, testing::noisy_scan(3, 400))};
  const PageContext page{machine, scans, {measure_ink_noise(machine, scans[0])}};
  streak::Region region;
  region.z = 40;
  region.ink_lost = true;
  region.x_mm = {40, 46};
  DiagnoseOptions options;
  const auto named = diagnose_region(page, {region}, 0, options);
  ASSERT_FALSE(named.empty());
  EXPECT_LT(unknown(named[0]), 0.1);

  options.priors.widest_mm = 1;
  options.most_causes = 2;  // of 1 mm and the jets' travel each, where 6 mm show
  const auto wide = diagnose_region(page, {region}, 0, options);
  ASSERT_EQ(wide.size(), 1U);
  EXPECT_EQ(unknown(wide[0]), 1);
  EXPECT_TRUE(wide[0].found.residue.empty());
  EXPECT_EQ(wide[0].visible_mm.from_mm, region.x_mm.from_mm);
  EXPECT_EQ(wide[0].visible_mm.to_mm, region.x_mm.to_mm);
  EXPECT_EQ(wide[0].z, region.z);
  EXPECT_NEAR(wide[0].loss, kLoss, 0.03);
}

}  // namespace
}  // namespace scrapetrace::diagnose
