#include "diagnose/likelihood.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace scrapetrace::diagnose {

namespace {

// Whitens and takes the baseline's offset and slope out.
void whiten_free_of_nuisance(const Trace& trace, std::vector<double>& v) {
  trace.noise->whiten(v);
  for (const auto& direction : trace.nuisance) {
    double dot = 0;
    for (std::size_t i = 0; i < v.size(); ++i) dot += v[i] * direction[i];
    for (std::size_t i = 0; i < v.size(); ++i) v[i] -= dot * direction[i];
  }
}

// out[i] = sum over j in range of a[j][i] * x[j - from], for i in range. Written as sums of rows, which the
// compiler vectorises without reordering any addition.
void symmetric_product(const std::vector<double>& a, std::size_t n, CellRange range,
                       const std::vector<double>& x, std::vector<double>& out) {
  const std::size_t m = range.to - range.from;
  out.assign(m, 0.0);
  for (std::size_t j = 0; j < m; ++j) {
    const double xj = x[j];
    if (xj == 0) continue;
    const double* row = a.data() + (range.from + j) * n + range.from;
    double* o = out.data();
    for (std::size_t i = 0; i < m; ++i) o[i] += xj * row[i];
  }
}

double dot(const double* a, const double* b, std::size_t n) {
  double sum = 0;
  for (std::size_t i = 0; i < n; ++i) sum += a[i] * b[i];
  return sum;
}

}  // namespace

InkState untouched(const Layout& layout, const Scene& scene) {
  InkState state;
  state.kept.assign(layout.inks.size(), std::vector<double>(scene.cells.size(), 1.0));
  state.haze.assign(scene.cells.size(), 0.0);
  return state;
}

double cell_signal(double density, double coverage, double amount) {
  return 1 - coverage + coverage * std::exp(-std::numbers::ln10 * density * amount);
}

double cell_slope(double density, double coverage, double amount) {
  return -coverage * std::numbers::ln10 * density * std::exp(-std::numbers::ln10 * density * amount);
}

double amount_of(const Trace& trace, const InkState& state, std::size_t cell) {
  double amount = 0;
  for (std::size_t j = 0; j < trace.share.size(); ++j) {
    if (trace.share[j] != 0) amount += trace.share[j] * state.kept[j][cell];
  }
  return amount;
}

std::vector<double> state_signals(const Trace& trace, const InkState& state) {
  std::vector<double> out(trace.density.size());
  for (std::size_t c = 0; c < out.size(); ++c) {
    out[c] = state.haze[c] == 0 ? 1.0 : std::pow(10.0, -state.haze[c]);
    if (trace.ink >= 0) out[c] *= cell_signal(trace.density[c], trace.coverage, amount_of(trace, state, c));
  }
  return out;
}

double StrengthFit::log_evidence() const {
  const double width = std::sqrt(2 * std::numbers::pi / std::max(information, 1e-9));
  return -0.5 * chi_square + std::log(std::min(1.0, width));
}

void Evaluator::set_state(const InkState& state) {
  state_ = state;
  for (auto& [index, shift] : shifts_) shift.current = false;
}

Evaluator::TraceMatrices Evaluator::make_matrices(const Trace& trace, double shift_mm) const {
  const std::size_t n = scene_.cells.size();
  const Blend blend = scene_.blend(trace, shift_mm);
  TraceMatrices out;
  std::vector<double> y = trace.value;
  whiten_free_of_nuisance(trace, y);
  out.yy = dot(y.data(), y.data(), y.size());
  // Whitened columns of B.
  std::vector<std::vector<double>> columns(n, std::vector<double>(y.size(), 0.0));
  for (std::size_t i = 0; i < y.size(); ++i) {
    // Bare paper is near one but not exactly: what its cells say is relative to the baseline.
    const double scale = trace.ink < 0 ? trace.base[i] : 1.0;
    for (std::size_t k = 0; k < blend.weight[i].size(); ++k) {
      columns[static_cast<std::size_t>(blend.first[i]) + k][i] = scale * blend.weight[i][k];
    }
  }
  for (auto& column : columns) whiten_free_of_nuisance(trace, column);
  out.a.assign(n * n, 0.0);
  out.b.assign(n, 0.0);
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      out.a[i * n + j] = out.a[j * n + i] = dot(columns[i].data(), columns[j].data(), y.size());
    }
    out.b[i] = dot(columns[i].data(), y.data(), y.size());
  }
  return out;
}

Evaluator::Shift& Evaluator::at(std::size_t index) {
  Shift& shift = shifts_[index];
  if (shift.matrices.empty()) {
    for (const Trace& trace : scene_.traces)
      shift.matrices.push_back(make_matrices(trace, scene_.shift_mm[index]));
  }
  if (shift.current) return shift;
  const std::size_t n = scene_.cells.size();
  shift.ground.resize(scene_.traces.size());
  for (std::size_t t = 0; t < scene_.traces.size(); ++t) {
    Ground& ground = shift.ground[t];
    const TraceMatrices& m = shift.matrices[t];
    ground.signal = state_signals(scene_.traces[t], state_);
    symmetric_product(m.a, n, {0, n}, ground.signal, product_);
    ground.gradient.resize(n);
    for (std::size_t c = 0; c < n; ++c) ground.gradient[c] = m.b[c] - product_[c];
    ground.chi_square = m.yy - dot(ground.signal.data(), m.b.data(), n) -
                        dot(ground.signal.data(), ground.gradient.data(), n);
  }
  shift.current = true;
  return shift;
}

double Evaluator::chi_square(std::size_t index) {
  double total = 0;
  for (const Ground& ground : at(index).ground) total += ground.chi_square;
  return total;
}

StrengthFit Evaluator::fit(const TrialCause& cause, std::size_t index, double start) {
  constexpr int kRounds = 4;
  const Shift& shift = at(index);
  const CellRange range = cause.range();
  const std::size_t n = scene_.cells.size();
  const std::size_t m = range.to - range.from;
  StrengthFit best;
  best.chi_square = 1e300;
  double strength = std::clamp(start, cause.lowest(), cause.highest());
  double step = 0;
  for (int round = 0; round < kRounds; ++round) {
    double chi_square = 0;
    double gradient = 0;
    double information = 0;
    for (std::size_t t = 0; t < scene_.traces.size(); ++t) {
      const Ground& ground = shift.ground[t];
      const TraceMatrices& matrices = shift.matrices[t];
      cause.signals(scene_.traces[t], state_, strength, columns_);
      change_.resize(m);
      for (std::size_t k = 0; k < m; ++k) change_[k] = columns_.signal[k] - ground.signal[range.from + k];
      symmetric_product(matrices.a, n, range, change_, product_);
      const double* g = ground.gradient.data() + range.from;
      chi_square +=
          ground.chi_square - 2 * dot(change_.data(), g, m) + dot(change_.data(), product_.data(), m);
      gradient += dot(columns_.slope.data(), g, m) - dot(columns_.slope.data(), product_.data(), m);
      symmetric_product(matrices.a, n, range, columns_.slope, product_);
      information += dot(columns_.slope.data(), product_.data(), m);
    }
    if (chi_square < best.chi_square) {
      best = {strength, chi_square, information, index};
      step = information > 0 ? gradient / information : 0;
    } else {
      step *= 0.5;  // overshot: half the way from the best point
    }
    const double next = std::clamp(best.strength + step, cause.lowest(), cause.highest());
    if (std::abs(next - strength) < 2e-3 * (0.02 + strength)) break;
    strength = next;
  }
  return best;
}

double direct_chi_square(const Scene& scene, const std::vector<std::vector<double>>& signals,
                         double shift_mm) {
  double total = 0;
  std::vector<double> residual;
  for (std::size_t t = 0; t < scene.traces.size(); ++t) {
    const Trace& trace = scene.traces[t];
    const Blend blend = scene.blend(trace, shift_mm);
    residual = trace.value;
    for (std::size_t i = 0; i < residual.size(); ++i) {
      const double scale = trace.ink < 0 ? trace.base[i] : 1.0;
      const auto& weight = blend.weight[i];
      residual[i] -= scale * dot(weight.data(), signals[t].data() + blend.first[i], weight.size());
    }
    whiten_free_of_nuisance(trace, residual);
    total += dot(residual.data(), residual.data(), residual.size());
  }
  return total;
}

double degrees_of_freedom(const Scene& scene) {
  double n = 0;
  for (const Trace& t : scene.traces)
    n += static_cast<double>(t.value.size()) - static_cast<double>(t.nuisance.size());
  return n;
}

std::size_t unshifted(const Scene& scene) {
  for (std::size_t s = 0; s < scene.shift_mm.size(); ++s) {
    if (scene.shift_mm[s] == 0) return s;
  }
  return 0;
}

}  // namespace scrapetrace::diagnose
