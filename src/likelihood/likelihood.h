#pragma once
// How well a state of the ink explains a scene, and how much better with one more cause.
//
// With samples y, their covariance C (its offset and slope projected out: precision P), the blend B of cells
// into samples and cell signals R, chi^2 = (y - B R)^T P (y - B R). In cell space, with A = B^T P B and
// g = B^T P (y - B R0), a change D of the signals gives chi^2(R0 + D) = chi^2(R0) - 2 D^T g + D^T A D. A
// trial touches few cells, so each trial costs the square of their number and the samples are never seen
// again.

#include <limits>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <vector>

#include "likelihood/cell_matrices.h"
#include "likelihood/scene.h"

namespace scrapetrace::diagnose {

// The ink after the causes accepted so far: fraction kept, per layout ink and cell; density of added haze.
struct InkState {
  std::vector<std::vector<double>> kept;  // [ink][cell]
  std::vector<double> haze;               // [cell], base-10 density over everything
};
InkState untouched(const Layout& layout, const Scene& scene);

// What a trace shows of a state, cell by cell: trials are tried on it many times.
struct Standing {
  Standing(const Trace& trace, const InkState& state);
  const InkState& state;       // must outlive it
  std::vector<double> haze;    // part of the light that it lets through
  std::vector<double> amount;  // of all inks in the trace's channel; of bare paper 0
  std::vector<double> signal;
};

// Cells [from, to).
struct CellRange {
  std::size_t from = 0;
  std::size_t to = 0;
};

// Signals of the cells of a trial's range under a strength t, and their derivative by t.
struct CellSignals {
  std::vector<double> signal;
  std::vector<double> slope;
  // As many as a range has cells; the slopes are 0.
  void clear(const CellRange& range) {
    signal.resize(range.to - range.from);
    slope.assign(range.to - range.from, 0.0);
  }
};

// A cause on trial: knows, for a trace and a strength, what every cell of its range becomes.
class TrialCause {
 public:
  virtual ~TrialCause() = default;
  [[nodiscard]] virtual CellRange range() const = 0;
  virtual void signals(const Trace& trace, const Standing& before, double strength,
                       CellSignals& out) const = 0;
  [[nodiscard]] virtual double lowest() const { return 2e-4; }
  [[nodiscard]] virtual double highest() const { return 0.995; }
};

// Signal over paper of a cell whose ink kept the fraction `amount` of its baseline density, and its slope.
double cell_signal(double density, double coverage, double amount);
double cell_slope(double density, double coverage, double amount);
struct CellResponse {
  double signal = 1;
  double slope = 0;
};
CellResponse cell_response(double density, double coverage, double amount);  // both at once
// Signals of all cells under a state.
std::vector<double> state_signals(const Trace& trace, const InkState& state);

struct StrengthFit {
  double strength = 0;
  double chi_square = 0;   // at that strength, summed over traces
  double information = 0;  // half the second derivative of chi_square by strength
  std::size_t shift = 0;   // index of the trial shift used
  // log of the integral over strength (uniform prior) of exp(-chi_square / 2), by Laplace's method.
  [[nodiscard]] double log_evidence() const;
  // Standard deviation of the strength; never more than a uniform prior from 0 to 1 leaves.
  [[nodiscard]] double sigma() const;
};

// What a small loss of all inks alike changes: d log likelihood / d loss of each cell, and its negative
// second derivative, cells by cells.
struct LossEvidence {
  std::vector<double> pull;
  std::vector<double> information;
};

// A scene with its matrices in cell space, made for the trial shifts that are asked for. Until the state
// changes, all else may be asked from several threads.
class Evaluator {
 public:
  // The answers do not depend on the threads that matrices are made on.
  explicit Evaluator(const Scene& scene, int threads = 1) : scene_(scene), threads_(threads) {}
  Evaluator(const Evaluator&) = delete;  // what stands refers to the state
  Evaluator& operator=(const Evaluator&) = delete;
  [[nodiscard]] const Scene& scene() const { return scene_; }

  // Takes a state as the ground from which trials are judged.
  void set_state(const InkState& state);
  [[nodiscard]] const InkState& state() const { return state_; }
  // What a trace shows of it.
  [[nodiscard]] const Standing& standing(std::size_t trace) const { return standing_[trace]; }
  // chi square of the state itself.
  double chi_square(std::size_t shift);
  // The same under the trial shift that suits it best, that shift's prior counted: else the registration's
  // error would pass for one more cause.
  double null_chi_square();
  // chi square of given cell signals (one vector per trace), straight from the samples: needs no matrices for
  // that shift.
  double direct_chi_square(const std::vector<std::vector<double>>& signals, std::size_t shift);
  // Under the present state.
  LossEvidence loss_evidence(std::size_t shift);
  // Gauss-Newton over the strength, started at `start`. Where even twice what the first parabola promises
  // leaves chi square above `hopeless`, that parabola's least chi square is good enough an answer.
  StrengthFit fit(const TrialCause& cause, std::size_t shift, double start,
                  double hopeless = std::numeric_limits<double>::infinity());
  // Makes what fits at a shift need, on all threads: fits that run side by side would wait for it.
  void prepare(std::size_t shift) { at(shift); }

 private:
  struct Ground {  // of the present state, per trace
    std::vector<double> signal;
    std::vector<double> gradient;  // B^T P (y - B R0)
    double chi_square = 0;
  };
  struct Shift {
    std::vector<CellMatrices> matrices;
    std::vector<Ground> first;  // of the first state: another's is told from where it differs
    std::vector<Ground> ground;
    bool current = false;
  };
  static Ground ground_of(const CellMatrices& matrices, std::vector<double> signal);
  static Ground changed_ground(const CellMatrices& matrices, const Ground& first, const Standing& now,
                               const CellRange& changed);
  using Blends = std::shared_ptr<const std::vector<Blend>>;  // per trace
  const Shift& at(std::size_t shift);
  Blends blends(std::size_t shift);

  const Scene& scene_;
  InkState state_;
  std::vector<Standing> standing_;  // per trace
  std::optional<InkState> first_state_;
  std::mutex making_shifts_;
  std::map<std::size_t, Shift> shifts_;
  std::mutex making_blends_;
  std::map<std::size_t, Blends> blends_;
  std::mutex making_null_;
  std::optional<double> null_chi_square_;
  int threads_;
};

// How far trials and the null are shifted.
constexpr double kTrialReach_columns = 2;

// chi square of given cell signals (one vector per trace) at a shift, straight from the samples.
double direct_chi_square(const Scene& scene, const std::vector<std::vector<double>>& signals,
                         double shift_mm);

// Samples less nuisance parameters, over all traces.
double degrees_of_freedom(const Scene& scene);

std::size_t unshifted(const Scene& scene);

}  // namespace scrapetrace::diagnose
