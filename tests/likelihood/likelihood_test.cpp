// chi square three ways, the strength's fit, and Laplace's method against integrals taken numerically.

#include "likelihood/likelihood.h"

#include <gtest/gtest.h>

#include <chrono>

#include "base/time_limit.h"
#include "causes/found_causes.h"
#include "likelihood/toy_scene.h"

namespace scrapetrace::diagnose {
namespace {

using testing::dense_chi_square;
using testing::kToyPx_mm;
using testing::print_state;
using testing::toy_scene;
using testing::ToyScene;

constexpr std::size_t kMiddle = 1;  // the trial shift of zero

std::vector<std::vector<double>> signals_of(const Scene& scene, const InkState& state) {
  std::vector<std::vector<double>> out;
  for (const Trace& t : scene.traces) out.push_back(state_signals(t, state));
  return out;
}

// A state with something in every ink and cell.
InkState worn_state(const ToyScene& toy) {
  InkState state = untouched(toy.layout, toy.scene);
  for (std::size_t c = 0; c < toy.scene.cells.size(); ++c) {
    state.kept[0][c] = 0.9 + 0.05 * std::sin(0.7 * static_cast<double>(c));
    state.kept[1][c] = 1 - 0.01 * static_cast<double>(c % 7);
    state.haze[c] = c % 3 == 0 ? 0.02 : 0.0;
  }
  return state;
}

// Something that no state explains exactly.
void roughen(Scene& scene) {
  for (Trace& t : scene.traces) {
    for (std::size_t i = 0; i < t.value.size(); ++i)
      t.value[i] += 0.01 * std::sin(1.3 * static_cast<double>(i * i));
  }
}

ResidueTrial residue_trial(const Scene& scene) {
  geometry::TouchCounts touches;
  touches.first = 112;
  touches.n = {1, 0, 2, 1, 3, 2, 4, 4, 0, 4, 2, 1, 0, 1};
  return {scene, touches};
}

TEST(ChiSquare, IsTheSameInCellsInSamplesAndDense) {
  ToyScene toy = toy_scene();
  print_state(worn_state(toy), 0.01, toy.scene);
  roughen(toy.scene);
  InkState touched = untouched(toy.layout, toy.scene);
  residue_trial(toy.scene).apply(0.4, touched);  // differs from the first state in some cells only
  Evaluator evaluator(toy.scene);
  for (const InkState& ground : {untouched(toy.layout, toy.scene), touched, worn_state(toy), touched}) {
    evaluator.set_state(ground);
    for (std::size_t s = 0; s < toy.scene.shift_mm.size(); ++s) {
      const auto signals = signals_of(toy.scene, ground);
      const double dense = dense_chi_square(toy, signals, toy.scene.shift_mm[s]);
      ASSERT_GT(dense, 1);
      EXPECT_NEAR(evaluator.chi_square(s) / dense, 1, 1e-6) << s;
      EXPECT_NEAR(direct_chi_square(toy.scene, signals, toy.scene.shift_mm[s]) / dense, 1, 1e-6) << s;
    }
  }
}

// What ended early, for want of time, leaves nothing half made behind: other threads may ask for it then.
TEST(ChiSquare, IsWholeAfterAnAttemptThatEnded) {
  ToyScene toy = toy_scene();
  roughen(toy.scene);
  Evaluator fresh(toy.scene);
  Evaluator ended(toy.scene);
  for (Evaluator* evaluator : {&fresh, &ended}) evaluator->set_state(untouched(toy.layout, toy.scene));
  {
    const TimeLimit over(std::chrono::steady_clock::now() - std::chrono::milliseconds(1));
    EXPECT_THROW(ended.chi_square(kMiddle), OutOfTime);
  }
  EXPECT_EQ(ended.chi_square(kMiddle), fresh.chi_square(kMiddle));
}

TEST(ChiSquare, IsNotMovedByTheBaseline) {
  ToyScene toy = toy_scene();
  roughen(toy.scene);
  const auto signals = signals_of(toy.scene, untouched(toy.layout, toy.scene));
  const double before = direct_chi_square(toy.scene, signals, 0);
  for (Trace& t : toy.scene.traces) {
    for (std::size_t i = 0; i < t.value.size(); ++i) t.value[i] += 0.04 - 0.003 * static_cast<double>(i);
  }
  EXPECT_NEAR(direct_chi_square(toy.scene, signals, 0) / before, 1, 1e-6);
}

// chi square as a function of the strength, straight from the samples.
double chi_square_at(const ToyScene& toy, const InkState& ground, const TrialCause& trial, double strength) {
  auto signals = signals_of(toy.scene, ground);
  CellSignals changed;
  for (std::size_t t = 0; t < signals.size(); ++t) {
    trial.signals(toy.scene.traces[t], {toy.scene.traces[t], ground}, strength, changed);
    for (std::size_t k = 0; k < changed.signal.size(); ++k)
      signals[t][trial.range().from + k] = changed.signal[k];
  }
  return dense_chi_square(toy, signals, 0);
}

struct Trials {
  ResidueTrial residue;
  JetTrial jet;
  ScratchTrial scratch;
  HazeTrial haze;
  explicit Trials(const Scene& scene)
      : residue(residue_trial(scene)),
        jet(1, {14, 18, 22, 26}),
        scratch(scene, {115.4 * kToyPx_mm, 119.8 * kToyPx_mm}),
        haze(scene, 121 * kToyPx_mm, 0.7) {}
  [[nodiscard]] std::vector<std::pair<const TrialCause*, double>> with_strengths() const {
    return {{&residue, 0.37}, {&jet, 0.81}, {&scratch, 0.55}, {&haze, 0.06}};
  }
};

// Samples that a trial of known strength would show on a ground.
void print_trial(const TrialCause& trial, double strength, const InkState& ground, ToyScene& toy) {
  CellSignals changed;
  for (Trace& t : toy.scene.traces) {
    auto signal = state_signals(t, ground);
    trial.signals(t, {t, ground}, strength, changed);
    for (std::size_t k = 0; k < changed.signal.size(); ++k)
      signal[trial.range().from + k] = changed.signal[k];
    t.value = testing::blended(toy.scene, t, signal, 0);
  }
}

constexpr double kFitEnd = 2e-3;  // the fit stops when a step is smaller, relative

TEST(Fit, FindsTheStrengthThatWasPrinted) {
  ToyScene toy = toy_scene();
  const InkState ground = worn_state(toy);
  const Trials trials(toy.scene);
  for (const auto& [trial, strength] : trials.with_strengths()) {
    print_trial(*trial, strength, ground, toy);
    Evaluator evaluator(toy.scene);
    evaluator.set_state(ground);
    const auto fit = evaluator.fit(*trial, kMiddle, 0.8 * strength);
    EXPECT_NEAR(fit.strength, strength, kFitEnd * (0.02 + strength));
    EXPECT_LT(fit.chi_square, 0.1);
    // Where nothing is left unexplained, Gauss and Newton's second derivative is the true one.
    const double h = 1e-3 * strength;
    const double curvature = (chi_square_at(toy, ground, *trial, strength + h) +
                              chi_square_at(toy, ground, *trial, strength - h)) /
                             (2 * h * h);
    EXPECT_NEAR(fit.information / curvature, 1, 0.02);
  }
}

TEST(Fit, EndsWhereTheDerivativeVanishes) {
  ToyScene toy = toy_scene();
  const InkState ground = worn_state(toy);
  const Trials trials(toy.scene);
  for (const auto& [trial, strength] : trials.with_strengths()) {
    print_trial(*trial, strength, ground, toy);
    roughen(toy.scene);
    Evaluator evaluator(toy.scene);
    evaluator.set_state(ground);
    const auto fit = evaluator.fit(*trial, kMiddle, strength);
    EXPECT_NEAR(fit.chi_square / chi_square_at(toy, ground, *trial, fit.strength), 1, 1e-6);
    ASSERT_GT(fit.strength, trial->lowest());
    ASSERT_LT(fit.strength, trial->highest());
    const double h = 1e-4;
    const double slope = (chi_square_at(toy, ground, *trial, fit.strength + h) -
                          chi_square_at(toy, ground, *trial, fit.strength - h)) /
                         (2 * h);
    // A step of Newton's from here would be this long; a fit may stop one of its own steps early.
    EXPECT_LT(std::abs(slope / (2 * fit.information)), 5 * kFitEnd * (0.02 + fit.strength));
  }
}

TEST(Fit, StaysWithinTheStrengthsAllowed) {
  ToyScene toy = toy_scene();
  const InkState ground = untouched(toy.layout, toy.scene);
  const JetTrial trial(0, {toy.scene.cells.size() / 2});
  Evaluator evaluator(toy.scene);
  evaluator.set_state(ground);
  EXPECT_EQ(evaluator.fit(trial, kMiddle, 0.5).strength, trial.lowest());  // nothing is missing
}

TEST(Fit, StopsEarlyOnlyWhereItIsHopeless) {
  ToyScene toy = toy_scene();
  const InkState ground = untouched(toy.layout, toy.scene);
  const ResidueTrial trial = residue_trial(toy.scene);
  print_trial(trial, 0.37, ground, toy);
  roughen(toy.scene);
  Evaluator evaluator(toy.scene);
  evaluator.set_state(ground);
  const auto whole = evaluator.fit(trial, kMiddle, 0.3);
  const auto hopeful = evaluator.fit(trial, kMiddle, 0.3, whole.chi_square);
  EXPECT_EQ(hopeful.chi_square, whole.chi_square);
  EXPECT_EQ(hopeful.strength, whole.strength);
  const auto stopped = evaluator.fit(trial, kMiddle, 0.3, -1e9);
  EXPECT_EQ(stopped.strength, 0.3);
  EXPECT_NEAR(stopped.chi_square / whole.chi_square, 1, 0.1);
}

// A trial judged on a state that was reached from another.
TEST(Fit, DoesNotDependOnTheStatesBefore) {
  ToyScene toy = toy_scene();
  const Trials trials(toy.scene);
  print_state(worn_state(toy), 0.01, toy.scene);
  roughen(toy.scene);
  InkState touched = untouched(toy.layout, toy.scene);
  trials.scratch.apply(0.3, touched);
  Evaluator fresh(toy.scene);
  fresh.set_state(touched);
  Evaluator used(toy.scene);
  for (const InkState& ground : {untouched(toy.layout, toy.scene), worn_state(toy), touched}) {
    used.set_state(ground);
    static_cast<void>(used.fit(trials.jet, kMiddle, 0.5));
  }
  const auto a = fresh.fit(trials.residue, kMiddle, 0.3);
  const auto b = used.fit(trials.residue, kMiddle, 0.3);
  EXPECT_NEAR(a.chi_square / b.chi_square, 1, 1e-9);
  EXPECT_NEAR(a.strength / b.strength, 1, 1e-6);
}

TEST(Evidence, IsTheIntegralOverTheStrength) {
  ToyScene toy = toy_scene();
  const InkState ground = worn_state(toy);
  const Trials trials(toy.scene);
  for (const auto& [trial, strength] : trials.with_strengths()) {
    print_trial(*trial, strength, ground, toy);
    roughen(toy.scene);
    Evaluator evaluator(toy.scene);
    evaluator.set_state(ground);
    const auto fit = evaluator.fit(*trial, kMiddle, strength);
    constexpr int kSteps = 4000;
    const double h = (trial->highest() - trial->lowest()) / kSteps;
    double integral = 0;
    for (int k = 0; k < kSteps; ++k) {
      const double chi_square = chi_square_at(toy, ground, *trial, trial->lowest() + (k + 0.5) * h);
      integral += h * std::exp(-0.5 * (chi_square - fit.chi_square));
    }
    EXPECT_NEAR(fit.log_evidence(), -0.5 * fit.chi_square + std::log(integral), 0.1) << strength;
  }
}

TEST(Scene, CountsItsFreedom) {
  const ToyScene toy = toy_scene();
  EXPECT_EQ(degrees_of_freedom(toy.scene), 4 * (24 - 2));
  EXPECT_EQ(unshifted(toy.scene), kMiddle);
}

}  // namespace
}  // namespace scrapetrace::diagnose
