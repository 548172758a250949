#include "likelihood/likelihood.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/parallel.h"
#include "likelihood/quadratic.h"

namespace scrapetrace::diagnose {

namespace {

// Blends are kept for this many trial shifts: where registration is unsure there are many more, each used
// once.
constexpr std::size_t kMostBlends = 24;

// chi square of what one trace leaves unexplained.
double residual_chi_square(const Trace& trace, const Blend& blend, const std::vector<double>& signal) {
  std::vector<double> residual = trace.value;
  for (std::size_t i = 0; i < residual.size(); ++i) {
    const double scale = trace.ink < 0 ? trace.base[i] : 1.0;
    const auto& weight = blend.weight[i];
    residual[i] -= scale * dot(weight.data(), signal.data() + blend.first[i], weight.size());
  }
  whiten_free_of_nuisance(trace, residual);
  return dot(residual.data(), residual.data(), residual.size());
}

double chi_square_of(const CellMatrices& m, const std::vector<double>& signal,
                     const std::vector<double>& gradient) {
  const std::size_t n = signal.size();
  return m.yy - dot(signal.data(), m.b.data(), n) - dot(signal.data(), gradient.data(), n);
}

// From the first cell to the last one in which two states differ.
CellRange differing(const InkState& a, const InkState& b) {
  const auto differ = [&](std::size_t c) {
    if (a.haze[c] != b.haze[c]) return true;
    for (std::size_t i = 0; i < a.kept.size(); ++i) {
      if (a.kept[i][c] != b.kept[i][c]) return true;
    }
    return false;
  };
  CellRange out{0, a.haze.size()};
  while (out.from < out.to && !differ(out.from)) ++out.from;
  while (out.from < out.to && !differ(out.to - 1)) --out.to;
  return out;
}

// Of all inks in a trace's channel: sum of share * kept.
double amount_of(const Trace& trace, const InkState& state, std::size_t cell) {
  double amount = 0;
  for (std::size_t j = 0; j < trace.share.size(); ++j) {
    if (trace.share[j] != 0) amount += trace.share[j] * state.kept[j][cell];
  }
  return amount;
}

// Part of a cell's light that haze lets through.
double haze_factor(const InkState& state, std::size_t cell) {
  return state.haze[cell] == 0 ? 1.0 : std::pow(10.0, -state.haze[cell]);
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

CellResponse cell_response(double density, double coverage, double amount) {
  const double through = coverage * std::exp(-std::numbers::ln10 * density * amount);
  return {1 - coverage + through, -std::numbers::ln10 * density * through};
}

Standing::Standing(const Trace& trace, const InkState& ink) : state(ink) {
  const std::size_t n = trace.density.size();
  for (std::size_t c = 0; c < n; ++c) haze.push_back(haze_factor(state, c));
  amount.assign(n, 0.0);
  signal = haze;
  if (trace.ink < 0) return;
  for (std::size_t c = 0; c < n; ++c) {
    amount[c] = amount_of(trace, state, c);
    signal[c] *= cell_signal(trace.density[c], trace.coverage, amount[c]);
  }
}

std::vector<double> state_signals(const Trace& trace, const InkState& state) {
  return Standing(trace, state).signal;
}

double StrengthFit::log_evidence() const {
  const double width = std::sqrt(2 * std::numbers::pi / std::max(information, 1e-9));
  return -0.5 * chi_square + std::log(std::min(1.0, width));
}

double StrengthFit::sigma() const {
  constexpr double kUniform = 0.2887;  // 1 / sqrt(12)
  return std::min(kUniform, 1 / std::sqrt(std::max(information, 1e-9)));
}

void Evaluator::set_state(const InkState& state) {
  state_ = state;
  standing_.clear();
  for (const Trace& trace : scene_.traces) standing_.emplace_back(trace, state_);
  if (!first_state_) first_state_ = state;
  null_chi_square_.reset();
  for (auto& [index, shift] : shifts_) shift.current = false;
}

Evaluator::Blends Evaluator::blends(std::size_t shift) {
  const std::scoped_lock lock(making_blends_);
  const auto found = blends_.find(shift);
  if (found != blends_.end()) return found->second;
  if (blends_.size() >= kMostBlends) blends_.clear();
  auto made = std::make_shared<std::vector<Blend>>();
  for (const Trace& trace : scene_.traces) made->push_back(scene_.blend(trace, scene_.shift_mm[shift]));
  return blends_.emplace(shift, std::move(made)).first->second;
}

Evaluator::Ground Evaluator::ground_of(const CellMatrices& m, std::vector<double> signal) {
  const std::size_t n = signal.size();
  Ground out;
  out.gradient.resize(n);
  for (std::size_t c = 0; c < n; ++c) out.gradient[c] = m.b[c] - dot(m.a.data() + c * n, signal.data(), n);
  out.chi_square = chi_square_of(m, signal, out.gradient);
  out.signal = std::move(signal);
  return out;
}

Evaluator::Ground Evaluator::changed_ground(const CellMatrices& m, const Ground& first, const Standing& now,
                                            const CellRange& changed) {
  if (changed.from == changed.to) return first;
  const std::size_t n = first.signal.size();
  const std::size_t width = changed.to - changed.from;
  Ground out = first;
  std::vector<double> by(width);
  for (std::size_t k = 0; k < width; ++k) {
    double& signal = out.signal[changed.from + k];
    by[k] = -signal;
    signal = now.signal[changed.from + k];
    by[k] += signal;
  }
  for (std::size_t c = 0; c < n; ++c)
    out.gradient[c] -= dot(m.a.data() + c * n + changed.from, by.data(), width);
  out.chi_square = chi_square_of(m, out.signal, out.gradient);
  return out;
}

const Evaluator::Shift& Evaluator::at(std::size_t index) {
  const std::scoped_lock lock(making_shifts_);
  const auto made = shifts_.find(index);
  if (made != shifts_.end() && made->second.current) return made->second;
  Shift& shift = shifts_[index];
  const std::size_t traces = scene_.traces.size();
  if (shift.matrices.empty()) {
    const Blends blends_here = blends(index);
    // Kept when all are made: this may end early, for time or memory, and others may ask for the shift then.
    std::vector<CellMatrices> matrices(traces);
    std::vector<Ground> first(traces);
    for_each_part(traces, threads_, [&](std::size_t t) {
      const Trace& trace = scene_.traces[t];
      matrices[t] = make_cell_matrices(scene_, trace, (*blends_here)[t]);
      first[t] = ground_of(matrices[t], state_signals(trace, *first_state_));
    });
    shift.first = std::move(first);
    shift.matrices = std::move(matrices);
  }
  const CellRange changed = differing(*first_state_, state_);
  shift.ground.clear();
  for (std::size_t t = 0; t < traces; ++t)
    shift.ground.push_back(changed_ground(shift.matrices[t], shift.first[t], standing_[t], changed));
  shift.current = true;
  return shift;
}

double Evaluator::chi_square(std::size_t index) {
  double total = 0;
  for (const Ground& ground : at(index).ground) total += ground.chi_square;
  return total;
}

LossEvidence Evaluator::loss_evidence(std::size_t index) {
  const Shift& shift = at(index);
  const std::size_t n = scene_.cells.size();
  LossEvidence out{std::vector<double>(n, 0.0), std::vector<double>(n * n, 0.0)};
  std::vector<double> slope(n);
  for (std::size_t t = 0; t < scene_.traces.size(); ++t) {
    const Trace& trace = scene_.traces[t];
    if (trace.ink < 0) continue;
    for (std::size_t c = 0; c < n; ++c) {
      const double amount = standing_[t].amount[c];
      slope[c] = -standing_[t].haze[c] * cell_slope(trace.density[c], trace.coverage, amount) * amount;
      out.pull[c] += slope[c] * shift.ground[t].gradient[c];
    }
    const double* a = shift.matrices[t].a.data();
    for (std::size_t r = 0; r < n; ++r) {
      for (std::size_t c = 0; c < n; ++c) out.information[r * n + c] += slope[r] * a[r * n + c] * slope[c];
    }
  }
  return out;
}

StrengthFit Evaluator::fit(const TrialCause& cause, std::size_t index, double start, double hopeless) {
  constexpr int kRounds = 4;
  const Shift& shift = at(index);
  const CellRange range = cause.range();
  const std::size_t n = scene_.cells.size();
  const std::size_t m = range.to - range.from;
  StrengthFit best;
  best.chi_square = 1e300;
  double strength = std::clamp(start, cause.lowest(), cause.highest());
  double step = 0;
  CellSignals columns;
  std::vector<double> change(m);
  for (int round = 0; round < kRounds; ++round) {
    double chi_square = 0;
    double gradient = 0;
    double information = 0;
    for (std::size_t t = 0; t < scene_.traces.size(); ++t) {
      const Ground& ground = shift.ground[t];
      cause.signals(scene_.traces[t], standing_[t], strength, columns);
      for (std::size_t k = 0; k < m; ++k) change[k] = columns.signal[k] - ground.signal[range.from + k];
      const double* block = shift.matrices[t].a.data() + range.from * n + range.from;
      const QuadraticForms forms = quadratic_forms(block, n, m, change.data(), columns.slope.data());
      const double* g = ground.gradient.data() + range.from;
      chi_square += ground.chi_square - 2 * dot(change.data(), g, m) + forms.aa;
      gradient += dot(columns.slope.data(), g, m) - forms.ab;
      information += forms.bb;
    }
    if (chi_square < best.chi_square) {
      best = {strength, chi_square, information, index};
      step = information > 0 ? gradient / information : 0;
      if (round == 0 && chi_square - 2 * step * gradient > hopeless) {
        best.chi_square -= step * gradient;
        break;
      }
    } else {
      step *= 0.5;  // overshot: half the way from the best point
    }
    const double next = std::clamp(best.strength + step, cause.lowest(), cause.highest());
    if (std::abs(next - strength) < 2e-3 * (1e-3 + strength)) break;
    strength = next;
  }
  return best;
}

double direct_chi_square(const Scene& scene, const std::vector<std::vector<double>>& signals,
                         double shift_mm) {
  double total = 0;
  for (std::size_t t = 0; t < scene.traces.size(); ++t) {
    const Trace& trace = scene.traces[t];
    total += residual_chi_square(trace, scene.blend(trace, shift_mm), signals[t]);
  }
  return total;
}

double Evaluator::direct_chi_square(const std::vector<std::vector<double>>& signals, std::size_t shift) {
  const Blends blends_here = blends(shift);
  double total = 0;
  for (std::size_t t = 0; t < scene_.traces.size(); ++t)
    total += residual_chi_square(scene_.traces[t], (*blends_here)[t], signals[t]);
  return total;
}

double Evaluator::null_chi_square() {
  const std::scoped_lock lock(making_null_);
  if (null_chi_square_) return *null_chi_square_;
  std::vector<std::vector<double>> signals;
  for (const Standing& standing : standing_) signals.push_back(standing.signal);
  double least = 1e300;
  for (std::size_t s = 0; s < scene_.shift_mm.size(); ++s) {
    if (std::abs(scene_.shift_mm[s]) > kTrialReach_columns * scene_.px_mm) continue;
    least = std::min(least, direct_chi_square(signals, s) - 2 * scene_.shift_log_prior[s]);
  }
  null_chi_square_ = least;
  return least;
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
