#include "diagnose/trial_causes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace scrapetrace::diagnose {

namespace {

double haze_factor(const InkState& state, std::size_t c) {
  return state.haze[c] == 0 ? 1.0 : std::pow(10.0, -state.haze[c]);
}

// Signals of the state itself, with no change by the trial.
void start(const Trace& trace, const InkState& state, ColumnSignals& out, std::vector<double>& amount) {
  const std::size_t n = trace.density.size();
  out.signal.resize(n);
  out.slope.assign(n, 0.0);
  amount.resize(n);
  for (std::size_t c = 0; c < n; ++c) {
    amount[c] = trace.ink < 0 ? 0 : amount_of(trace, state, c);
    out.signal[c] = haze_factor(state, c);
  }
}

}  // namespace

ResidueTrial::ResidueTrial(const Scene& scene, const geometry::TouchCounts& touches) : n_(scene.owners.size()) {
  for (std::size_t c = 0; c < n_.size(); ++c) {
    n_[c] = static_cast<std::uint8_t>(touches.at(scene.first_column + static_cast<int>(c)));
  }
}

void ResidueTrial::signals(const Trace& trace, const InkState& state, double loss, ColumnSignals& out) const {
  std::vector<double> amount;
  start(trace, state, out, amount);
  if (trace.ink < 0) return;
  std::array<double, 256> power{};
  power[0] = 1;
  const auto most = static_cast<std::size_t>(n_.empty() ? 0 : *std::max_element(n_.begin(), n_.end()));
  for (std::size_t k = 1; k <= most; ++k) power[k] = power[k - 1] * (1 - loss);
  for (std::size_t c = 0; c < n_.size(); ++c) {
    const double haze = out.signal[c];
    const std::size_t n = n_[c];
    const double kept = amount[c] * power[n];
    const double ten = std::exp(-std::numbers::ln10 * trace.density[c] * kept);
    out.signal[c] = haze * (1 - trace.coverage + trace.coverage * ten);
    if (n > 0) {
      const double by_amount = -trace.coverage * std::numbers::ln10 * trace.density[c] * ten;
      out.slope[c] = -haze * by_amount * amount[c] * static_cast<double>(n) * power[n - 1];
    }
  }
}

void ResidueTrial::apply(double loss, InkState& state) const {
  for (auto& kept : state.kept) {
    for (std::size_t c = 0; c < n_.size(); ++c) kept[c] *= std::pow(1 - loss, n_[c]);
  }
}

void JetTrial::signals(const Trace& trace, const InkState& state, double loss, ColumnSignals& out) const {
  std::vector<double> amount;
  start(trace, state, out, amount);
  if (trace.ink < 0) return;
  std::vector<double> share(amount.size(), 0.0);
  for (std::size_t c : columns_) share[c] = trace.share[ink_] * state.kept[ink_][c];
  for (std::size_t c = 0; c < amount.size(); ++c) {
    const double haze = out.signal[c];
    const double kept = amount[c] - share[c] * loss;
    out.signal[c] = haze * column_signal(trace.density[c], trace.coverage, kept);
    if (share[c] > 0) out.slope[c] = -haze * column_slope(trace.density[c], trace.coverage, kept) * share[c];
  }
}

void JetTrial::apply(double loss, InkState& state) const {
  for (std::size_t c : columns_) state.kept[ink_][c] *= 1 - loss;
}

ScratchTrial::ScratchTrial(const Scene& scene, double px_mm, Interval x_mm) : overlap_(scene.column_mm.size()) {
  for (std::size_t c = 0; c < overlap_.size(); ++c) {
    const double from = std::max(x_mm.from_mm, scene.column_mm[c] - px_mm / 2);
    const double to = std::min(x_mm.to_mm, scene.column_mm[c] + px_mm / 2);
    overlap_[c] = std::max(0.0, to - from) / px_mm;
  }
}

void ScratchTrial::signals(const Trace& trace, const InkState& state, double loss, ColumnSignals& out) const {
  std::vector<double> amount;
  start(trace, state, out, amount);
  if (trace.ink < 0) return;
  for (std::size_t c = 0; c < amount.size(); ++c) {
    const double haze = out.signal[c];
    const double whole = column_signal(trace.density[c], trace.coverage, amount[c]);
    if (overlap_[c] == 0) {
      out.signal[c] = haze * whole;
      continue;
    }
    const double left = amount[c] * (1 - loss);
    const double scraped = column_signal(trace.density[c], trace.coverage, left);
    out.signal[c] = haze * ((1 - overlap_[c]) * whole + overlap_[c] * scraped);
    out.slope[c] = -haze * overlap_[c] * column_slope(trace.density[c], trace.coverage, left) * amount[c];
  }
}

void ScratchTrial::apply(double loss, InkState& state) const {
  for (auto& kept : state.kept) {
    for (std::size_t c = 0; c < overlap_.size(); ++c) kept[c] *= 1 - loss * overlap_[c];
  }
}

HazeTrial::HazeTrial(const Scene& scene, double centre_mm, double fwhm_mm) {
  const double sigma = fwhm_mm / (2 * std::sqrt(2 * std::numbers::ln2));
  for (double x : scene.column_mm) shape_.push_back(std::exp(-0.5 * std::pow((x - centre_mm) / sigma, 2)));
}

void HazeTrial::signals(const Trace& trace, const InkState& state, double density, ColumnSignals& out) const {
  std::vector<double> amount;
  start(trace, state, out, amount);
  for (std::size_t c = 0; c < amount.size(); ++c) {
    double signal = out.signal[c];
    if (trace.ink >= 0) signal *= column_signal(trace.density[c], trace.coverage, amount[c]);
    out.signal[c] = signal * std::pow(10.0, -density * shape_[c]);
    out.slope[c] = -std::numbers::ln10 * shape_[c] * out.signal[c];
  }
}

void HazeTrial::apply(double density, InkState& state) const {
  for (std::size_t c = 0; c < shape_.size(); ++c) state.haze[c] += density * shape_[c];
}

}  // namespace scrapetrace::diagnose
