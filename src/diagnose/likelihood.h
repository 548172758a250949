#pragma once
// How well a state of the ink explains a scene.

#include <vector>

#include "diagnose/scene.h"

namespace scrapetrace::diagnose {

// The ink after the causes accepted so far: fraction kept, per layout ink and column; density of added haze.
struct InkState {
  std::vector<std::vector<double>> kept;  // [ink][column]
  std::vector<double> haze;               // [column], base-10 density over everything
};
InkState untouched(const Layout& layout, const Scene& scene);

// Signals of all columns of one trace under a trial cause of strength t, and their derivative by t.
struct ColumnSignals {
  std::vector<double> signal;
  std::vector<double> slope;
};

// A cause on trial: knows, for a trace and a strength, what every column becomes.
class TrialCause {
 public:
  virtual ~TrialCause() = default;
  virtual void signals(const Trace& trace, const InkState& state, double strength, ColumnSignals& out) const = 0;
  [[nodiscard]] virtual double lowest() const { return 0.005; }
  [[nodiscard]] virtual double highest() const { return 0.995; }
};

// Signal over paper of a column whose ink kept the fraction `amount` of its baseline density.
double column_signal(double density, double coverage, double amount);
// d signal / d amount.
double column_slope(double density, double coverage, double amount);
// Amount of all inks in a trace's channel under a state: sum of share * kept.
double amount_of(const Trace& trace, const InkState& state, std::size_t column);

struct StrengthFit {
  double strength = 0;
  double chi_square = 0;   // at that strength, summed over traces
  double information = 0;  // second derivative of chi_square / 2 by strength
  std::size_t shift = 0;   // index of the trial shift used
  // log of the integral over strength (uniform prior) of exp(-(chi_square) / 2), by Laplace's method.
  [[nodiscard]] double log_evidence() const;
};

// Gauss-Newton over the strength at one trial shift, started at `start`.
StrengthFit fit_strength(const Scene& scene, const InkState& state, const TrialCause& cause, std::size_t shift,
                         double start);

// chi square of a state as it is, at a trial shift.
double chi_square_of(const Scene& scene, const InkState& state, std::size_t shift);

// The samples that a state predicts for a trace.
std::vector<double> predict(const Trace& trace, const InkState& state, std::size_t shift);

// Samples less nuisance parameters, over all traces.
double degrees_of_freedom(const Scene& scene);

std::size_t unshifted(const Scene& scene);

}  // namespace scrapetrace::diagnose
