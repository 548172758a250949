#pragma once
// Does the print show the jets' pattern where the layout has the heads?
//
// Every jet lays a little more or less ink than the others, in all its columns: a comb that only its own
// interleave draws. With relative volumes v ~ N(0, s^2) per jet, residuals r = H v + n, n ~ N(0, N), and H
// what each jet's columns make up of each sample, the log likelihood of r gains over pure noise
//   t^T (N / s^2 + H^T H)^-1 t / (2 N) - log det(1 + H^T H s^2 / N) / 2,  t = H^T r
// (matrix inversion lemma). Heads elsewhere gain less: by much when they stand off by a part of a jet's
// pitch, by their ends alone when off by a whole one.

#include <memory>
#include <utility>
#include <vector>

#include "geometry/machine.h"
#include "jets/combs.h"
#include "jets/ink_residual.h"
#include "likelihood/banded_cholesky.h"

namespace scrapetrace::jets {

// Where the print lies: drum X of the layout shows at X + shift_mm + stretch * (X - middle of the scan).
struct Trial {
  double shift_mm = 0;
  double stretch = 0;
  [[nodiscard]] double placed(double x_mm, double middle_mm) const {
    return x_mm + shift_mm + stretch * (x_mm - middle_mm);
  }
};

// From a drum X on one reading of a scan to the same spot's on another reading.
struct DrumMap {
  double offset_mm = 0;
  double slope = 1;  // -1: they run against each other
  [[nodiscard]] double at(double x_mm) const { return offset_mm + slope * x_mm; }
};

// What a scan shows of the jets, ready to be held against heads anywhere. Copies share it.
class JetData {
 public:
  // It does not depend on `threads`.
  JetData(const geometry::Machine& machine, const profile::PreparedScan& scan, int threads = 1);

  struct Ink {
    int ink = -1;               // of the layout
    double noise_variance = 1;  // N
    double jet_variance = 0;    // s^2
  };
  // At steps across the drum, all inks beside one another and filled up with nothing to whole fours, which a
  // processor adds up at once: sum over samples of a column's weight times r.
  struct Spread {
    static constexpr std::size_t kAtOnce = 4;
    double first_mm = 0;
    double step_mm = 1;
    std::size_t steps = 0;
    std::size_t width = 0;  // values of a step
    std::vector<double> value;
  };
  [[nodiscard]] const std::vector<Ink>& inks() const { return shown_->inks; }
  [[nodiscard]] const Spread& spreads() const { return shown_->spread; }
  [[nodiscard]] Interval window_mm() const { return window_mm_; }  // that all inks show
  [[nodiscard]] double middle_mm() const { return 0.5 * (window_mm_.from_mm + window_mm_.to_mm); }
  [[nodiscard]] double pitch_mm() const { return shown_->grid.pitch_mm; }
  [[nodiscard]] const ColumnSpread& spread() const { return shown_->column; }
  [[nodiscard]] const Combs& combs() const { return shown_->combs; }  // of all jets, seen or not
  [[nodiscard]] double samples() const;                               // over all inks
  [[nodiscard]] const profile::Grid& grid() const { return shown_->grid; }
  // Sum over the window and the inks of r^2 / N.
  [[nodiscard]] double square() const;
  // Sum over the inks of the squared loss that gaps and overlaps of heads at a trial leave unexplained, for
  // each sample of the grid.
  [[nodiscard]] std::vector<double> off_seams(const geometry::Machine& machine, const Trial& trial) const;
  // Where streaks that take from more inks than one lie, and so near that they reach in.
  [[nodiscard]] std::vector<Interval> near_streaks_mm() const;
  // Whether it lies in the window and is not left out.
  [[nodiscard]] bool shows(double x_mm) const;
  // The same data seen through a smaller window.
  [[nodiscard]] JetData narrowed(Interval window_mm) const;
  // The same with other variances, as many as there are inks, and without some intervals of the drum. Its
  // steps are finer, for places known to a few hundredths of a column.
  [[nodiscard]] JetData retold_finely(const std::vector<Ink>& inks, std::vector<Interval> left_out_mm) const;

 private:
  struct Shown {
    ColumnSpread column;
    Combs combs;
    std::vector<Ink> inks;
    Spread spread;
    std::vector<double> square;       // of r^2 / N, over the samples before each one of the grid and all inks
    profile::Grid grid;               // of samples
    std::vector<InkResidual> losses;  // as they were measured
    std::vector<InkResidual> residuals;
    std::vector<bool> streak;  // samples where more inks than one show one
    std::vector<Interval> left_out_mm;
  };
  static void add_residuals(int threads, Shown& out);

  std::shared_ptr<const Shown> shown_;
  Interval window_mm_;
};

// Heads at a trial, and near it.
class JetMatch {
 public:
  JetMatch(const JetData& data, const Trial& base);

  // Log likelihood gained, heads off from the base by a fraction of a millimetre.
  [[nodiscard]] double gain(const Trial& trial) const;
  [[nodiscard]] int jets() const { return static_cast<int>(combs_.jets.size()); }
  // Squares of the residuals that the jets explain, in units of their noise,
  [[nodiscard]] double explained_squares(const Trial& trial) const { return 2 * explained({trial}).front(); }
  // and what these jets would explain, on average, if others had printed the page: `other` at its base.
  [[nodiscard]] double would_explain(const JetMatch& other, const DrumMap& here_from_other) const;
  // All squares that these jets at the base, and noise, would leave on average.
  [[nodiscard]] double would_print() const;
  // Mean square of what is left of the residuals, in units of their noise, for each trial.
  [[nodiscard]] std::vector<double> left_over(const std::vector<Trial>& trials) const;
  [[nodiscard]] double left_over(const Trial& trial) const { return left_over(std::vector{trial}).front(); }

 private:
  // Explained squares over twice their noise, summed over inks, for each trial.
  [[nodiscard]] std::vector<double> explained(const std::vector<Trial>& trials) const;
  // G = H^T H_other, [jet][jet of the other].
  [[nodiscard]] std::vector<double> overlaps_with(const JetMatch& other,
                                                  const DrumMap& here_from_other) const;
  // t for all trials beside one another, [ink][jet][trial].
  [[nodiscard]] std::vector<double> seen_by_jets(const std::vector<Trial>& trials) const;

  JetData data_;
  Trial base_;
  Combs combs_;
  std::vector<diagnose::BandedCholesky> normal_;  // per ink: N / s^2 + H^T H
  double log_determinants_ = 0;
};

}  // namespace scrapetrace::jets
