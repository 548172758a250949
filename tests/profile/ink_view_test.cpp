// Views: the share of ink lost, from known shares.

#include "profile/ink_view.h"

#include <gtest/gtest.h>

#include <cmath>

#include "support/raster_of.h"

namespace scrapetrace::profile {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::quiet_print;
using testing::quiet_scan;
using testing::raster_of;
using testing::true_placement;

struct Seen {
  Strips strips;
  InkViews views;
};

Seen look(const Causes& causes, const PrintOptions& print, const ScanOptions& scan,
          const Chart& chart = bench_chart()) {
  const Layout layout = bench_machine();
  const auto raster = raster_of(layout, chart, causes, print, scan);
  Seen seen;
  seen.strips = extract_strips(raster, true_placement(chart, print, scan), layout, {}, {});
  seen.views = make_ink_views(seen.strips, chart, layout, raster.grey, {});
  return seen;
}

int patch_of(const Seen& seen, const InkView& view) {
  return seen.strips.strips[view.strip].patch;
}

// Losses are exact but for 16-bit codes; a dark patch has 0.85 * 10^-1.5 = 0.027 of full scale left.
constexpr double kLoss = 2e-3;

TEST(DensityOf, IsBeerLambertAndFinite) {
  EXPECT_NEAR(density_of(1), 0, 1e-15);
  EXPECT_NEAR(density_of(0.1), 1, 1e-15);
  EXPECT_NEAR(density_of(0), 4, 1e-12);
  EXPECT_NEAR(density_of(-1), 4, 1e-12);
}

TEST(InkViews, LookAtEachInkWhereItIsDarkest) {
  const auto seen = look({}, quiet_print(), quiet_scan());
  std::vector<std::vector<int>> of_patch(5);
  for (const InkView& view : seen.views.inked) {
    const int patch = patch_of(seen, view);
    EXPECT_EQ(view.channel, view.ink) << patch;  // the bench machine's inks are darkest in R, G, B
    EXPECT_EQ(view.single_ink, patch < 3);
    EXPECT_EQ(view.coverage, 1);
    if (of_patch[static_cast<std::size_t>(patch)].size() < 2) {
      of_patch[static_cast<std::size_t>(patch)].push_back(view.ink);
    }
  }
  EXPECT_EQ(of_patch[0], (std::vector<int>{0, 0}));
  EXPECT_EQ(of_patch[1], (std::vector<int>{1, 1}));
  EXPECT_EQ(of_patch[2], (std::vector<int>{2, 2}));
  EXPECT_EQ(of_patch[3], (std::vector<int>{0, 1}));
  EXPECT_EQ(seen.views.paper.size(), 6U);
}

TEST(InkViews, KnowTheDensitiesThatMakeUpAnOverprint) {
  const auto seen = look({}, quiet_print(), quiet_scan());
  int overprints = 0;
  for (const InkView& view : seen.views.inked) {
    if (patch_of(seen, view) != 3) continue;
    ++overprints;
    const auto c = static_cast<std::size_t>(view.channel);
    EXPECT_NEAR(view.ink_density[0], bench_machine().inks[0].solid_density_rgb[c], kLoss);
    EXPECT_NEAR(view.ink_density[1], bench_machine().inks[1].solid_density_rgb[c], kLoss);
    EXPECT_EQ(view.ink_density[2], 0);
  }
  EXPECT_EQ(overprints, 4);
}

// Printed at 0.9 of the nominal density (every jet weak by a tenth): the views take the measured one.
TEST(InkViews, ScaleDensitiesToWhatIsMeasured) {
  Causes weak;
  for (int jet = 0; jet < 190; ++jet) weak.jets.push_back({0, 0, jet, 0.1});
  for (int jet = 0; jet < 170; ++jet) weak.jets.push_back({1, 0, jet, 0.1});
  const auto seen = look(weak, quiet_print(), quiet_scan());
  for (const InkView& view : seen.views.inked) {
    if (patch_of(seen, view) == 0) {
      EXPECT_NEAR(view.ink_density[0], 0.99, kLoss);
    } else if (patch_of(seen, view) == 1) {
      EXPECT_NEAR(view.ink_density[1], 1.15, kLoss);
    }
  }
}

// Columns 600 to 649: 3.2 mm that lost a share of all inks.
constexpr double kFrom_mm = 600 * 0.0635;
constexpr double kWidth_mm = 50 * 0.0635;

TEST(InkViews, GiveTheLossThatWasPrinted) {
  for (const double loss : {0.1, 0.4, 1.0}) {
    Causes causes;
    causes.scratches = {{kFrom_mm - 1e-6, kWidth_mm, loss, {}}};
    const auto seen = look(causes, quiet_print(), quiet_scan());
    int views = 0;
    for (const InkView& view : seen.views.inked) {
      if (patch_of(seen, view) == 4) continue;
      ++views;
      const auto middle = static_cast<std::size_t>(seen.strips.grid.index(kFrom_mm + kWidth_mm / 2));
      const auto away = static_cast<std::size_t>(seen.strips.grid.index(80));
      EXPECT_NEAR(view.loss[middle], loss, kLoss) << patch_of(seen, view);
      EXPECT_NEAR(view.loss[away], 0, kLoss);
      EXPECT_NEAR(view.base[middle], view.base[away], kLoss * static_cast<double>(view.base[away]));
    }
    EXPECT_EQ(views, 10);
    for (const InkView& view : seen.views.paper) {
      for (const float value : view.loss) ASSERT_NEAR(value, 0, kLoss);
    }
  }
}

TEST(InkViews, GreyScansGiveTheLossOfASingleInkToo) {
  Causes causes;
  causes.scratches = {{kFrom_mm - 1e-6, kWidth_mm, 1, {}}};
  ScanOptions scan = quiet_scan();
  scan.grey = true;
  const auto seen = look(causes, quiet_print(), scan);
  int views = 0;
  for (const InkView& view : seen.views.inked) {
    if (patch_of(seen, view) != 0 && patch_of(seen, view) != 1) continue;
    ++views;
    EXPECT_NEAR(view.loss[static_cast<std::size_t>(seen.strips.grid.index(kFrom_mm + 1.5))], 1, kLoss);
  }
  EXPECT_EQ(views, 4);
}

TEST(InkViews, BaselineFollowsSlowChangesAndIgnoresStreaks) {
  Causes causes;
  causes.scratches = {{kFrom_mm - 1e-6, 12, 0.5, {}}};
  PrintOptions print = quiet_print();
  print.mottle = 0.05;
  print.mottle_mm = 60;
  const auto seen = look(causes, print, quiet_scan());
  const auto without = look({}, print, quiet_scan());
  for (std::size_t v = 0; v < seen.views.inked.size(); ++v) {
    const InkView& view = seen.views.inked[v];
    if (patch_of(seen, view) > 1) continue;
    const auto k = static_cast<std::size_t>(seen.strips.grid.index(kFrom_mm + 6));
    EXPECT_NEAR(view.loss[k], 0.5, 0.05);
    EXPECT_NEAR(view.base[k], without.views.inked[v].value[k], 0.1 * static_cast<double>(view.base[k]));
  }
}

// A blade's haze adds its density to the paper: a negative loss of that size.
TEST(InkViews, PaperShowsAddedInk) {
  Causes causes;
  causes.hazes = {{60, 6, 0.05, {}}};
  const auto seen = look(causes, quiet_print(), quiet_scan());
  for (const InkView& view : seen.views.paper) {
    EXPECT_EQ(view.ink, -1);
    EXPECT_NEAR(view.loss[static_cast<std::size_t>(seen.strips.grid.index(60))], -0.05, kLoss);
    EXPECT_NEAR(view.loss[static_cast<std::size_t>(seen.strips.grid.index(90))], 0, kLoss);
  }
}

// One dead jet of cyan: its view shows the comb at full strength, magenta's only cyan's faint share of green.
TEST(InkViews, OverprintsTellWhoseJetIsDead) {
  Causes causes;
  causes.jets = {{0, 0, 100, 1}};
  const auto seen = look(causes, quiet_print(), quiet_scan(600));
  const auto deepest = [&](const InkView& view) {
    float most = 0;
    for (const float value : view.loss) most = std::max(most, value);
    return static_cast<double>(most);
  };
  double cyan = 0;
  double magenta = 0;
  for (const InkView& view : seen.views.inked) {
    if (patch_of(seen, view) != 3) continue;
    (view.ink == 0 ? cyan : magenta) = deepest(view);
  }
  EXPECT_GT(cyan, 0.15);
  EXPECT_GT(cyan, 2 * magenta);
  EXPECT_GT(magenta, 0.01);
}

}  // namespace
}  // namespace scrapetrace::profile
