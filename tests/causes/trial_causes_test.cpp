// What each cause makes of the cells: signals, slopes and states must tell the same story.

#include <gtest/gtest.h>

#include "causes/found_causes.h"
#include "geometry/machines.h"
#include "likelihood/toy_scene.h"

namespace scrapetrace::diagnose {
namespace {

using testing::kToyCells;
using testing::kToyPx_mm;
using testing::toy_scene;
using testing::ToyScene;

constexpr double kExact = 1e-12;

InkState some_state(const ToyScene& toy) {
  InkState state = untouched(toy.layout, toy.scene);
  for (std::size_t c = 0; c < toy.scene.cells.size(); ++c) {
    state.kept[0][c] = 1 - 0.02 * static_cast<double>(c % 5);
    state.kept[1][c] = 0.8 + 0.004 * static_cast<double>(c);
    state.haze[c] = 0.01 * static_cast<double>(c % 4);
  }
  return state;
}

geometry::TouchCounts some_touches() {
  return {110, {1, 2, 0, 3, 12, 5, 1}};
}

// Whole cells: the ends lie on columns' ends.
Interval whole_cells() {
  return {115 * kToyPx_mm, 121 * kToyPx_mm};
}

template <class Trial>
void expect_apply_gives_signals(const ToyScene& toy, const Trial& trial, double strength) {
  const InkState before = some_state(toy);
  InkState after = before;
  trial.apply(strength, after);
  for (const Trace& trace : toy.scene.traces) {
    const auto ground = state_signals(trace, before);
    const auto applied = state_signals(trace, after);
    CellSignals signals;
    trial.signals(trace, {trace, before}, strength, signals);
    ASSERT_EQ(signals.signal.size(), trial.range().to - trial.range().from);
    for (std::size_t c = 0; c < ground.size(); ++c) {
      const bool inside = c >= trial.range().from && c < trial.range().to;
      const double want = inside ? signals.signal[c - trial.range().from] : ground[c];
      EXPECT_NEAR(applied[c], want, kExact) << "ink " << trace.ink << " cell " << c;
    }
  }
}

TEST(Trials, AppliedShowWhatTheySaidTheyWould) {
  const ToyScene toy = toy_scene();
  for (const double strength : {0.1, 0.5, 0.9}) {
    expect_apply_gives_signals(toy, ResidueTrial(toy.scene, some_touches()), strength);
    expect_apply_gives_signals(toy, JetTrial(0, {5, 9, 13}), strength);
    expect_apply_gives_signals(toy, JetTrial(1, {40}), strength);
    expect_apply_gives_signals(toy, ScratchTrial(toy.scene, whole_cells()), strength);
    expect_apply_gives_signals(toy, HazeTrial(toy.scene, 120 * kToyPx_mm, 0.5), strength);
  }
}

void expect_slopes_are_derivatives(const ToyScene& toy, const TrialCause& trial, double strength) {
  constexpr double kStep = 1e-5;
  const InkState state = some_state(toy);
  for (const Trace& trace : toy.scene.traces) {
    CellSignals here;
    CellSignals above;
    CellSignals below;
    trial.signals(trace, {trace, state}, strength, here);
    trial.signals(trace, {trace, state}, strength + kStep, above);
    trial.signals(trace, {trace, state}, strength - kStep, below);
    for (std::size_t k = 0; k < here.slope.size(); ++k) {
      EXPECT_NEAR(here.slope[k], (above.signal[k] - below.signal[k]) / (2 * kStep), 1e-7)
          << trace.ink << " " << k;
    }
  }
}

TEST(Trials, SlopesAreTheDerivatives) {
  const ToyScene toy = toy_scene();
  for (const double strength : {0.05, 0.3, 0.85}) {
    expect_slopes_are_derivatives(toy, ResidueTrial(toy.scene, some_touches()), strength);
    expect_slopes_are_derivatives(toy, JetTrial(1, {5, 9, 13}), strength);
    expect_slopes_are_derivatives(toy, ScratchTrial(toy.scene, {115.3 * kToyPx_mm, 120.6 * kToyPx_mm}),
                                  strength);
    expect_slopes_are_derivatives(toy, HazeTrial(toy.scene, 120 * kToyPx_mm, 0.5), strength);
  }
}

// A cell half scraped is half white: its light is the mean of both halves, not that of half the ink.
TEST(ScratchTrial, MixesLightWhereItCoversPartOfACell) {
  const ToyScene toy = toy_scene();
  const ScratchTrial trial(toy.scene, {115.25 * kToyPx_mm, 118 * kToyPx_mm});
  ASSERT_EQ(trial.range().from, 15U);
  ASSERT_EQ(trial.range().to, 18U);
  const InkState state = untouched(toy.layout, toy.scene);
  const Trace& solid = toy.scene.traces[0];
  CellSignals signals;
  trial.signals(solid, {solid, state}, 1.0, signals);
  EXPECT_NEAR(signals.signal[0], 0.25 * cell_signal(solid.density[15], 1, 1) + 0.75, kExact);
  EXPECT_NEAR(signals.signal[1], 1, kExact);
}

// Where the layout itself has a gap, a head that stands nearer lays its ink into it; where it has an overlap,
// a head that stands farther off leaves one layer of two.
TEST(SeamTrial, MovesALayerOfInk) {
  ToyScene toy = toy_scene();
  Trace& solid = toy.scene.traces[0];
  for (const std::size_t gap : {std::size_t{19}, std::size_t{20}}) {
    toy.scene.cells[gap].layers = 0;
    solid.density[gap] = 0;
  }
  for (const std::size_t overlap : {std::size_t{28}, std::size_t{29}}) {
    toy.scene.cells[overlap].layers = 2;
    solid.density[overlap] *= 2;
  }
  const InkState state = untouched(toy.layout, toy.scene);
  CellSignals signals;
  const auto cell = [](std::size_t c) { return static_cast<double>(c + 100) * kToyPx_mm; };
  const auto at = [&](const SeamTrial& trial, std::size_t c) {
    return signals.signal[c - trial.range().from];
  };
  const SeamTrial nearer(toy.scene, {cell(19), cell(21)}, cell(19), -1, true);
  nearer.signals(solid, {solid, state}, kToyPx_mm, signals);
  EXPECT_NEAR(at(nearer, 20), cell_signal(solid.density[18], 1, 1), kExact);
  EXPECT_NEAR(at(nearer, 19), cell_signal(solid.density[18], 1, 1), kExact);
  EXPECT_NEAR(at(nearer, 18), cell_signal(solid.density[18], 1, 2), kExact);
  EXPECT_NEAR(at(nearer, 17), cell_signal(solid.density[17], 1, 1), kExact);
  const SeamTrial farther(toy.scene, {cell(30), cell(28)}, cell(30), 1, false);
  farther.signals(solid, {solid, state}, kToyPx_mm, signals);
  EXPECT_NEAR(at(farther, 28), cell_signal(solid.density[28], 1, 0.5), kExact);
  EXPECT_NEAR(at(farther, 29), cell_signal(solid.density[29], 1, 0.5), kExact);
  EXPECT_NEAR(at(farther, 30), 1, kExact);
  EXPECT_NEAR(at(farther, 31), cell_signal(solid.density[31], 1, 1), kExact);
  InkState moved = state;
  farther.apply(kToyPx_mm, moved);
  EXPECT_NEAR(moved.kept[0][28], 0.5, kExact);
  EXPECT_NEAR(moved.kept[0][30], 0, kExact);
}

TEST(HazeTrial, IsHalfAsDenseAtHalfItsWidth) {
  const ToyScene toy = toy_scene();
  // Centre on a cell's middle; the cell three columns on stands at half the full width.
  const HazeTrial trial(toy.scene, 120.5 * kToyPx_mm, 6 * kToyPx_mm);
  InkState state = untouched(toy.layout, toy.scene);
  trial.apply(0.1, state);
  EXPECT_NEAR(state.haze[20], 0.1, kExact);
  EXPECT_NEAR(state.haze[23], 0.05, kExact);
  EXPECT_NEAR(state.haze[17], 0.05, kExact);
}

TEST(ResidueTrial, KeepsWhatTheContactsLeave) {
  ToyScene toy = toy_scene();
  const Layout machine = testing::random_machine(5);
  const geometry::ColumnMap map(machine);
  const double px = machine.px_mm();
  const geometry::Contact contact{0, true, (map.printed().first + 20) * px, 6.5 * px};
  const auto touches = geometry::count_touches(machine, map, contact);
  toy.scene.cells.clear();
  for (int c = touches.first - 5; c < touches.first + static_cast<int>(touches.n.size()) + 5; ++c) {
    toy.scene.cells.push_back({c, map.owner(c), c * px, (c + 1) * px, 1});
    // A gap of bare paper after every third column.
    if (c % 3 == 0) toy.scene.cells.push_back({-1, {}, (c + 1) * px, (c + 1) * px, 0});
  }
  const ResidueTrial trial(toy.scene, touches);
  InkState state = untouched(toy.layout, toy.scene);
  trial.apply(0.4, state);
  int touched = 0;
  for (std::size_t k = 0; k < toy.scene.cells.size(); ++k) {
    const int column = toy.scene.cells[k].column;
    const int n = column < 0 ? 0 : touches.at(column);
    touched += n > 0 ? 1 : 0;
    EXPECT_NEAR(state.kept[0][k], std::pow(0.6, n), kExact) << column;
    EXPECT_EQ(state.kept[0][k], state.kept[1][k]);
  }
  EXPECT_GT(touched, 5);
}

TEST(ResidueTrial, KnowsThatItTouchesNothing) {
  const ToyScene toy = toy_scene();
  EXPECT_TRUE(ResidueTrial(toy.scene, {10, {1, 2, 3}}).touches_nothing());
  EXPECT_TRUE(ResidueTrial(toy.scene, {110, {0, 0}}).touches_nothing());
  EXPECT_FALSE(ResidueTrial(toy.scene, some_touches()).touches_nothing());
}

}  // namespace
}  // namespace scrapetrace::diagnose
