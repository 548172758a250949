// Whether two scans are of one machine, and whether its heads stand where the layout has them.

#include "jets/same_jets.h"

#include <gtest/gtest.h>

#include <optional>
#include <vector>

#include "jets/find_pattern.h"
#include "jets/heads_apart.h"
#include "profile/ink_view.h"
#include "support/raster_of.h"

namespace scrapetrace::jets {
namespace {

using testing::bench_machine;
using testing::noisy_scan;

// Four heads of 92 jets, which overlap by 17 columns.
Layout four_heads() {
  Layout layout = bench_machine();
  layout.heads = {
      {"1", 0, 40, 92, false}, {"2", 1, 483, 92, false}, {"3", 0, 926, 92, false}, {"4", 1, 1369, 92, false}};
  return layout;
}

profile::PreparedScan prepared_scan(const Layout& layout, const PrintOptions& print,
                                    const ScanOptions& scan) {
  const Chart chart = testing::bench_chart();
  const auto raster = testing::raster_of(layout, chart, {}, print, scan);
  const auto place = testing::true_placement(chart, {}, scan);
  profile::PreparedScan out;
  out.blur_px = place.blur_px;
  out.strips = profile::extract_strips(raster, place, layout, {}, {});
  out.views = profile::make_ink_views(out.strips, chart, layout, false, {});
  return out;
}

// The correlation is in units of what one machine lets expect: 1 for one machine, 0 for two.
TEST(JetsAlike, IsOneForOneMachineAndNoughtForTwo) {
  const Layout layout = four_heads();
  const geometry::Machine machine(layout);
  PrintOptions print;
  print.machine_seed = 5;
  const auto first = prepared_scan(layout, print, noisy_scan(1));
  const auto again = prepared_scan(layout, print, noisy_scan(2));
  print.machine_seed = 6;
  const auto other = prepared_scan(layout, print, noisy_scan(3));
  const auto same = jets_alike(machine, first, again);
  const auto different = jets_alike(machine, first, other);
  ASSERT_TRUE(same);
  ASSERT_TRUE(different);
  EXPECT_NEAR(*same, 1, 0.15);
  EXPECT_NEAR(*different, 0, 0.25);
}

TEST(JetsAlike, IsUnknownWithoutJets) {
  const Layout layout = four_heads();
  const geometry::Machine machine(layout);
  PrintOptions even;
  even.jet_variation = 0;
  EXPECT_FALSE(jets_alike(machine, prepared_scan(layout, even, noisy_scan(1)),
                          prepared_scan(layout, even, noisy_scan(2))));
}

std::optional<HeadsApart> apart(const Layout& printed, const Layout& read) {
  const auto page = prepared_scan(printed, {}, noisy_scan(4));
  const geometry::Machine machine(read);
  const JetData data(machine, page);
  const Pattern pattern = find_pattern(data, machine, {});
  return heads_apart(data, machine, pattern);
}

TEST(HeadsApart, NoneWhereTheLayoutIsRight) {
  EXPECT_FALSE(apart(four_heads(), four_heads()));
}

class MovedHeads : public ::testing::TestWithParam<int> {};

// The print has head 3 some columns beside the layout's place.
TEST_P(MovedHeads, AreFoundWithTheirDistance) {
  Layout printed = four_heads();
  printed.heads[2].first_jet_px += GetParam();
  const auto found = apart(printed, four_heads());
  ASSERT_TRUE(found);
  EXPECT_EQ(found->heads, std::vector<std::size_t>{2});
  EXPECT_FALSE(found->carriage);
  EXPECT_NEAR(found->off_mm, GetParam() * printed.px_mm(), 0.2 * printed.px_mm());
}

INSTANTIATE_TEST_SUITE_P(Columns, MovedHeads, ::testing::Values(1, 2, -1));

}  // namespace
}  // namespace scrapetrace::jets
