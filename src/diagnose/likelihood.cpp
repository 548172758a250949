#include "diagnose/likelihood.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace scrapetrace::diagnose {

namespace {

void blend_into(const Blend& blend, const std::vector<double>& columns, std::vector<double>& out) {
  out.resize(blend.first.size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const auto& weight = blend.weight[i];
    const double* c = columns.data() + blend.first[i];
    double sum = 0;
    for (std::size_t k = 0; k < weight.size(); ++k) sum += weight[k] * c[k];
    out[i] = sum;
  }
}

// Whitens and takes the baseline's offset and slope out.
void whiten_free_of_nuisance(const Trace& trace, std::vector<double>& v) {
  trace.noise->whiten(v);
  for (const auto& direction : trace.nuisance) {
    double dot = 0;
    for (std::size_t i = 0; i < v.size(); ++i) dot += v[i] * direction[i];
    for (std::size_t i = 0; i < v.size(); ++i) v[i] -= dot * direction[i];
  }
}

double dot(const std::vector<double>& a, const std::vector<double>& b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

void plain_signals(const Trace& trace, const InkState& state, std::vector<double>& out) {
  out.resize(trace.density.size());
  for (std::size_t c = 0; c < out.size(); ++c) {
    const double haze = state.haze[c] == 0 ? 1.0 : std::pow(10.0, -state.haze[c]);
    out[c] = haze * (trace.ink < 0 ? 1.0 : column_signal(trace.density[c], trace.coverage, amount_of(trace, state, c)));
  }
}

// Bare paper's baseline is near one but not exactly: what the columns say is relative to it.
void scale_paper(const Trace& trace, std::vector<double>& samples) {
  if (trace.ink >= 0) return;
  for (std::size_t i = 0; i < samples.size(); ++i) samples[i] *= trace.base[i];
}

}  // namespace

InkState untouched(const Layout& layout, const Scene& scene) {
  InkState state;
  state.kept.assign(layout.inks.size(), std::vector<double>(scene.owners.size(), 1.0));
  state.haze.assign(scene.owners.size(), 0.0);
  return state;
}

double column_signal(double density, double coverage, double amount) {
  return 1 - coverage + coverage * std::pow(10.0, -density * amount);
}

double column_slope(double density, double coverage, double amount) {
  return -coverage * std::numbers::ln10 * density * std::pow(10.0, -density * amount);
}

double amount_of(const Trace& trace, const InkState& state, std::size_t column) {
  double amount = 0;
  for (std::size_t j = 0; j < trace.share.size(); ++j) {
    if (trace.share[j] != 0) amount += trace.share[j] * state.kept[j][column];
  }
  return amount;
}

double StrengthFit::log_evidence() const {
  const double width = std::sqrt(2 * std::numbers::pi / std::max(information, 1e-9));
  return -0.5 * chi_square + std::log(std::min(1.0, width));
}

StrengthFit fit_strength(const Scene& scene, const InkState& state, const TrialCause& cause, std::size_t shift,
                         double start) {
  constexpr int kRounds = 5;
  StrengthFit best;
  best.chi_square = 1e300;
  double strength = std::clamp(start, cause.lowest(), cause.highest());
  ColumnSignals columns;
  std::vector<double> residual;
  std::vector<double> slope;
  double step = 0;
  for (int round = 0; round < kRounds; ++round) {
    double chi_square = 0;
    double gradient = 0;
    double information = 0;
    for (const Trace& trace : scene.traces) {
      cause.signals(trace, state, strength, columns);
      blend_into(trace.blends[shift], columns.signal, residual);
      blend_into(trace.blends[shift], columns.slope, slope);
      scale_paper(trace, residual);
      scale_paper(trace, slope);
      for (std::size_t i = 0; i < residual.size(); ++i) residual[i] = trace.value[i] - residual[i];
      whiten_free_of_nuisance(trace, residual);
      whiten_free_of_nuisance(trace, slope);
      chi_square += dot(residual, residual);
      gradient += dot(slope, residual);
      information += dot(slope, slope);
    }
    if (chi_square < best.chi_square) {
      best = {strength, chi_square, information, shift};
      step = information > 0 ? gradient / information : 0;
    } else {
      step *= 0.5;  // overshot: half the way from the best point
    }
    const double next = std::clamp(best.strength + step, cause.lowest(), cause.highest());
    if (std::abs(next - strength) < 1e-3 * (0.02 + strength)) break;
    strength = next;
  }
  return best;
}

double chi_square_of(const Scene& scene, const InkState& state, std::size_t shift) {
  double total = 0;
  std::vector<double> columns;
  std::vector<double> residual;
  for (const Trace& trace : scene.traces) {
    plain_signals(trace, state, columns);
    blend_into(trace.blends[shift], columns, residual);
    scale_paper(trace, residual);
    for (std::size_t i = 0; i < residual.size(); ++i) residual[i] = trace.value[i] - residual[i];
    whiten_free_of_nuisance(trace, residual);
    total += dot(residual, residual);
  }
  return total;
}

std::vector<double> predict(const Trace& trace, const InkState& state, std::size_t shift) {
  std::vector<double> columns;
  std::vector<double> samples;
  plain_signals(trace, state, columns);
  blend_into(trace.blends[shift], columns, samples);
  scale_paper(trace, samples);
  return samples;
}

double degrees_of_freedom(const Scene& scene) {
  double n = 0;
  for (const Trace& t : scene.traces) n += static_cast<double>(t.value.size()) - static_cast<double>(t.nuisance.size());
  return n;
}

std::size_t unshifted(const Scene& scene) {
  for (std::size_t s = 0; s < scene.shift_mm.size(); ++s) {
    if (scene.shift_mm[s] == 0) return s;
  }
  return 0;
}

}  // namespace scrapetrace::diagnose
