#pragma once
// Does the print show the jets' pattern where the layout has the heads?
//
// Every jet lays a little more or less ink than the others, in all its columns: a comb that only its own
// interleave draws. With relative volumes v ~ N(0, s^2) per jet, residuals r = H v + n, n ~ N(0, N), and H
// what each jet's columns make up of each sample, the log likelihood of r gains over pure noise
//   t^T (N / s^2 + H^T H)^-1 t / (2 N) - log det(1 + H^T H s^2 / N) / 2,  t = H^T r
// (matrix inversion lemma). Heads elsewhere gain less: by much when they stand off by a part of a jet's
// pitch, by their ends alone when off by a whole one.

#include <vector>

#include "diagnose/banded_cholesky.h"
#include "jets/combs.h"
#include "jets/ink_residual.h"

namespace scrapetrace::jets {

// Where the print lies: drum X of the layout shows at X + shift_mm + stretch * (X - middle of the scan).
struct Trial {
  double shift_mm = 0;
  double stretch = 0;
};

// What a scan shows of the jets, ready to be held against heads anywhere.
class JetData {
 public:
  JetData(const Layout& layout, const geometry::ColumnMap& columns, const diagnose::PreparedScan& scan);

  struct Ink {
    std::vector<double> spread;   // at steps across the drum: sum over samples of a column's weight times r
    std::vector<double> squares;  // r^2 per sample of the grid
    double noise_variance = 1;    // N
    double jet_variance = 0;      // s^2
  };
  [[nodiscard]] const std::vector<Ink>& inks() const { return inks_; }
  // A column's weight times the residuals, its centre at x_mm.
  [[nodiscard]] double spread_at(const Ink& ink, double x_mm) const;
  [[nodiscard]] Interval window_mm() const { return window_mm_; }  // that all inks show
  [[nodiscard]] double middle_mm() const { return 0.5 * (window_mm_.from_mm + window_mm_.to_mm); }
  [[nodiscard]] double pitch_mm() const { return pitch_mm_; }
  [[nodiscard]] const ColumnSpread& spread() const { return spread_; }
  [[nodiscard]] double samples() const;  // over all inks
  // Sum of r^2 over the window.
  [[nodiscard]] double square(const Ink& ink) const;
  // The same data seen through a smaller window.
  [[nodiscard]] JetData narrowed(Interval window_mm) const;

 private:
  void add_ink(const InkResidual& residual, const profile::Grid& grid);

  ColumnSpread spread_;
  std::vector<Ink> inks_;
  Interval window_mm_;
  double pitch_mm_ = 1;
  double first_mm_ = 0;  // of samples and of steps
  double step_mm_ = 1;
  std::size_t steps_ = 0;
};

// Heads at a trial, and near it.
class JetMatch {
 public:
  JetMatch(const JetData& data, const Layout& layout, const geometry::ColumnMap& columns, const Trial& base);

  // Log likelihood gained, heads off from the base by a fraction of a millimetre.
  [[nodiscard]] double gain(const Trial& trial) const;
  [[nodiscard]] int jets() const { return static_cast<int>(combs_.jets.size()); }
  // Mean square of what is left of the residuals, in units of their noise.
  [[nodiscard]] double left_over(const Trial& trial) const;

 private:
  // Explained squares over twice their noise, summed over inks.
  [[nodiscard]] double explained(const Trial& trial) const;

  const JetData& data_;
  Combs combs_;
  std::vector<diagnose::BandedCholesky> normal_;  // per ink: N / s^2 + H^T H
  double log_determinants_ = 0;
};

}  // namespace scrapetrace::jets
