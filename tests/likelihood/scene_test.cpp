// Scenes: the cells of machines whose carriages stand off, and the traces that a page gives.

#include "likelihood/scene.h"

#include <gtest/gtest.h>

#include <array>

#include "causes/found_causes.h"
#include "causes/pages.h"
#include "geometry/frames.h"
#include "geometry/machines.h"
#include "likelihood/toy_scene.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::every_strip;
using testing::noisy_scan;
using testing::prepared_scan;

constexpr double kSkip_mm = 1e-6;  // slivers narrower than this are no cells

Scene bare_scene(const Layout& layout, Interval region_mm) {
  return make_scene(geometry::Machine(layout), {}, {}, region_mm, {}, {}, {});
}

void expect_tiled(const Scene& scene) {
  EXPECT_LT(scene.cells.front().from_mm, scene.window_mm.from_mm);
  EXPECT_GT(scene.cells.back().to_mm, scene.window_mm.to_mm);
  for (std::size_t k = 0; k < scene.cells.size(); ++k) {
    EXPECT_GT(scene.cells[k].to_mm, scene.cells[k].from_mm);
    if (k > 0) {
      EXPECT_EQ(scene.cells[k].from_mm, scene.cells[k - 1].to_mm) << k;
    }
  }
}

// Layers at a place, counted column by column from where its owner's carriage lays it.
int layers_at(const geometry::Machine& machine, double x_mm) {
  int layers = 0;
  const int about = static_cast<int>(std::floor(x_mm / machine.layout.px_mm()));
  for (int c = about - 30; c <= about + 30; ++c) {
    const auto owner = machine.columns.owner(c);
    const std::size_t carriage =
        owner.nobody() ? 0 : machine.layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double middle = geometry::drum_x_of_column(machine.layout, c, carriage);
    layers += std::abs(x_mm - middle) < machine.layout.px_mm() / 2 ? 1 : 0;
  }
  return layers;
}

TEST(SceneCells, TileTheWindowWhateverTheOffsets) {
  int gaps = 0;
  int overlaps = 0;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    const Layout layout = testing::random_machine(seed);
    const geometry::Machine machine(layout);
    for (const auto& seam : machine.columns.seams()) {
      const double x = (seam.seam + 1) * layout.px_mm();
      const Scene scene = bare_scene(layout, {x - 0.5, x + 0.5});
      expect_tiled(scene);
      for (std::size_t k = 1; k + 1 < scene.cells.size(); ++k) {
        const Cell& cell = scene.cells[k];
        if (cell.to_mm - cell.from_mm < 2 * kSkip_mm) continue;
        EXPECT_EQ(cell.layers, layers_at(machine, cell.middle_mm())) << seed << " " << k;
        if (cell.layers == 0) {
          EXPECT_EQ(cell.column, -1);
          EXPECT_TRUE(cell.owner.nobody());
        }
        if (cell.column >= 0) {
          EXPECT_EQ(cell.owner.head, machine.columns.owner(cell.column).head);
          EXPECT_EQ(cell.owner.jet, machine.columns.owner(cell.column).jet);
        }
        gaps += cell.layers == 0 ? 1 : 0;
        overlaps += cell.layers > 1 ? 1 : 0;
      }
    }
  }
  EXPECT_GT(gaps, 20);
  EXPECT_GT(overlaps, 20);
}

TEST(SceneCells, AreTheColumnsWhereNothingStandsOff) {
  const Layout layout = bench_machine();
  const Scene scene = bare_scene(layout, {50, 52});
  expect_tiled(scene);
  for (const Cell& cell : scene.cells) {
    EXPECT_EQ(cell.layers, 1);
    EXPECT_NEAR(cell.from_mm, cell.column * layout.px_mm(), 1e-9);
  }
  // The region, and travel and margin to both sides.
  EXPECT_NEAR(scene.window_mm.from_mm, 50 - 12 * layout.px_mm() - SceneOptions{}.margin_mm, 1e-9);
  EXPECT_NEAR(scene.window_mm.to_mm, 52 + 12 * layout.px_mm() + SceneOptions{}.margin_mm, 1e-9);
}

TEST(SceneShifts, HoldZeroAndSpanTheRegistration) {
  const Layout layout = bench_machine();
  auto scan = prepared_scan(layout, bench_chart(), {}, {}, noisy_scan(1));
  scan.x_sigma_mm = 0.05;
  const geometry::Machine machine(layout);
  const auto noise = measure_ink_noise(machine, scan);
  const Scene scene = make_scene(machine, {scan}, {noise}, {50, 52}, {}, {every_strip(scan)}, {});
  EXPECT_EQ(scene.shift_mm[unshifted(scene)], 0);
  EXPECT_LE(scene.shift_mm.front(), -0.12);
  EXPECT_GE(scene.shift_mm.back(), 0.12);
  const double sigma_mm = std::hypot(0.05, layout.tolerance.place_mm);
  for (std::size_t s = 0; s < scene.shift_mm.size(); ++s) {
    EXPECT_NEAR(scene.shift_log_prior[s], -0.5 * std::pow(scene.shift_mm[s] / sigma_mm, 2), 1e-9);
  }
}

TEST(SceneShifts, FollowTheErrorAtTheRegion) {
  Layout layout = bench_machine();
  layout.tolerance.place_mm = 0;  // the scan's own error alone
  auto scan = prepared_scan(layout, bench_chart(), {}, {}, noisy_scan(1));
  scan.x_sigma_mm = 9;
  scan.x_errors = {{20, 0.01}, {40, 0.01}, {60, 0.05}, {100, 0.05}};
  EXPECT_DOUBLE_EQ(scan.x_sigma_at(0), 0.01);
  EXPECT_NEAR(scan.x_sigma_at(50), 0.03, 1e-12);
  EXPECT_DOUBLE_EQ(scan.x_sigma_at(200), 0.05);
  const geometry::Machine machine(layout);
  const auto noise = measure_ink_noise(machine, scan);
  const auto reach = [&](Interval region) {
    return make_scene(machine, {scan}, {noise}, region, {}, {every_strip(scan)}, {}).shift_mm.back();
  };
  EXPECT_LT(2 * reach({29, 31}), reach({79, 81}));
}

// Two inks in bands long enough for several strips each.
Chart long_chart() {
  Chart chart;
  chart.name = "long bands";
  chart.sheet_mm = {100, 120};
  chart.patches = {{{"cyan"}, {8, 92}, {5, 58}, 1}, {{"magenta"}, {8, 92}, {62, 115}, 1}};
  return chart;
}

// On a page with nothing wrong, chi square of an ink stays below its degrees of freedom, for the noise is
// taken on the safe side, but not by much. Bare paper has a floor of its own and is not asked.
TEST(SceneTraces, OfACleanPageAreNoise) {
  const Layout layout = bench_machine();
  const geometry::Machine machine(layout);
  double chi_square = 0;
  double freedom = 0;
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    PrintOptions print;
    print.machine_seed = seed;
    const auto scan = prepared_scan(layout, long_chart(), {}, print, noisy_scan(seed));
    const auto noise = measure_ink_noise(machine, scan);
    for (const double x : {35.0, 50.0, 75.0, 85.0}) {
      Scene scene = make_scene(machine, {scan}, {noise}, {x, x + 1}, {}, {every_strip(scan)}, {});
      ASSERT_EQ(scene.traces.size(), 3U);  // two inks and the paper
      std::erase_if(scene.traces, [](const Trace& t) { return t.ink < 0; });
      Evaluator evaluator(scene);
      evaluator.set_state(untouched(layout, scene));
      chi_square += evaluator.chi_square(unshifted(scene));
      freedom += degrees_of_freedom(scene);
    }
  }
  EXPECT_GT(chi_square / freedom, 0.25);
  EXPECT_LT(chi_square / freedom, 1.1);
}

// Samples near another streak count for nothing: whatever is printed there, the region's chi square stays.
TEST(SceneTraces, DoNotSeeOtherStreaks) {
  const Layout layout = bench_machine();
  const geometry::Machine machine(layout);
  Causes scratch;
  scratch.scratches = {{53.4, 0.5, 0.9, {}}};
  const auto chi_square = [&](const Causes& causes, const std::vector<Interval>& others) {
    const auto scan = prepared_scan(layout, bench_chart(), causes, {}, noisy_scan(3));
    const auto noise = measure_ink_noise(machine, scan);
    const Scene scene = make_scene(machine, {scan}, {noise}, {50, 52}, others, {every_strip(scan)}, {});
    Evaluator evaluator(scene);
    evaluator.set_state(untouched(layout, scene));
    return evaluator.chi_square(unshifted(scene));
  };
  const std::vector<Interval> others = {{53.3, 54}};
  const double clean = chi_square({}, others);
  EXPECT_NEAR(chi_square(scratch, others), clean, 0.05 * clean + 2);
  EXPECT_GT(chi_square(scratch, {}), 10 * clean);
}

class JetNoise : public ::testing::TestWithParam<double> {};

// Means over four machines: a sheet this narrow shows 265 jets, and mottle weighs as much as one per cent of
// them.
TEST_P(JetNoise, IsMeasuredFromThePage) {
  constexpr int kMachines = 4;
  const Layout layout = bench_machine();
  const geometry::Machine machine(layout);
  for (const double dpi : {300.0, 600.0}) {
    std::array<double, 2> mean{};
    for (int seed = 1; seed <= kMachines; ++seed) {
      PrintOptions print;
      print.jet_variation = GetParam();
      print.machine_seed = static_cast<std::uint64_t>(seed);
      const auto scan = prepared_scan(layout, long_chart(), {}, print, noisy_scan(print.machine_seed, dpi));
      for (const InkNoise& n : measure_ink_noise(machine, scan)) {
        if (n.ink >= 0) mean.at(static_cast<std::size_t>(n.ink)) += n.jet_sigma / kMachines;
      }
    }
    for (const double sigma : mean) EXPECT_NEAR(sigma / GetParam(), 1, 0.25) << dpi;
  }
}

INSTANTIATE_TEST_SUITE_P(Diagnose, JetNoise, ::testing::Values(0.01, 0.02, 0.03));

TEST(JetNoise, OfAnInkSeenInOneStripOnlyIsStillBounded) {
  Chart chart = bench_chart();
  chart.patches = {{{"cyan"}, {8, 92}, {10, 20}, 1}, {{"magenta"}, {8, 92}, {34, 54}, 1}};
  const Layout layout = bench_machine();
  const auto scan = prepared_scan(layout, chart, {}, {}, noisy_scan(2));
  for (const InkNoise& n : measure_ink_noise(geometry::Machine(layout), scan)) {
    if (n.ink < 0) continue;
    EXPECT_GT(n.jet_sigma, 0.01);
    EXPECT_LT(n.jet_sigma, 0.04);
  }
}

// Root mean square of what a contact's true columns, blended so, leave of the traces of a page without noise.
double misfit_of_truth(const Scene& scene, const geometry::TouchCounts& touches, double loss,
                       bool as_sampled) {
  InkState state = untouched(bench_machine(), scene);
  ResidueTrial(scene, touches).apply(loss, state);
  double squares = 0;
  double samples = 0;
  for (Trace trace : scene.traces) {
    if (trace.ink < 0) continue;
    if (!as_sampled) trace.spread = PointSpread(trace.spread.blur_mm());
    const auto shown = testing::blended(scene, trace, state_signals(trace, state), 0);
    for (std::size_t i = 0; i < shown.size(); ++i) squares += std::pow(trace.value[i] - shown[i], 2);
    samples += static_cast<double>(shown.size());
  }
  return std::sqrt(squares / samples);
}

// Rows between pixels lose part of the pattern that tells which columns were touched. The model knows it.
TEST(SceneTraces, BlendAsTheirRowsWereSampled) {
  const Layout layout = bench_machine();
  const geometry::Machine machine(layout);
  Causes causes = testing::one_scrape(60, 0.9, 0.3);
  Residue& residue = causes.residues.front();
  residue.downstream = true;
  ScanOptions options = testing::quiet_scan();
  options.dpi = 300;
  options.skew_deg = 0.9;
  const auto scan = prepared_scan(layout, bench_chart(), causes, testing::quiet_print(), options);
  const Scene scene = make_scene(machine, {scan}, {measure_ink_noise(machine, scan)},
                                 testing::region_of(machine, residue), {}, {every_strip(scan)}, {});
  const auto touches = geometry::count_touches(machine.layout, machine.columns,
                                               {residue.carriage, true, residue.x_mm, residue.width_mm});
  const double as_sampled = misfit_of_truth(scene, touches, residue.loss, true);
  EXPECT_LT(as_sampled, 1e-3);
  EXPECT_LT(4 * as_sampled, misfit_of_truth(scene, touches, residue.loss, false));
}

}  // namespace
}  // namespace scrapetrace::diagnose
