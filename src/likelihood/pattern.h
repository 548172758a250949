#pragma once
// Ink amounts that repeat from sheet to sheet, learnt from scans made before and taken out of a trace.
//
// Unknowns d, relative to the ink's amount: one per jet, N(0, jet_sigma^2), and one per cell where something
// was wrong before, free to take any value. To first order a trace shows y = model + W d + n. Traces from
// before, where the model is the plain print, give d the posterior N(m, V) with V^-1 = D^-1 + sum W^T N^-1 W
// and m = V sum W^T N^-1 (y - base) (least squares with a prior). On the trace under diagnosis, y - W m then
// has the covariance N + W V W^T: the jets cancel as far as the earlier sheets have measured them.

#include <Eigen/Dense>
#include <vector>

#include "likelihood/scene.h"

namespace scrapetrace::diagnose {

class Pattern {
 public:
  // Unknowns under the cells of a scene; `known_mm` are where something was wrong before.
  Pattern(const Scene& scene, const std::vector<Interval>& known_mm, const InkNoise& noise);

  // Takes in a trace from before; `own` is its samples' covariance, jets left out.
  void learn(const Scene& scene, const Trace& trace, const Eigen::MatrixXd& own);
  // Solves for m and V.
  void solve();

  // W for a trace: change of each sample by each unknown, where the cells kept the fraction `kept` of what
  // they held before.
  [[nodiscard]] Eigen::MatrixXd weights(const Scene& scene, const Trace& trace,
                                        const std::vector<double>& kept) const;
  [[nodiscard]] const Eigen::VectorXd& mean() const { return mean_; }
  [[nodiscard]] const Eigen::MatrixXd& covariance() const { return covariance_; }

 private:
  std::vector<int> jet_of_cell_;   // index of the unknown, -1 for none
  std::vector<int> free_of_cell_;  // the same of the cell's own unknown
  Eigen::VectorXd prior_variance_;
  Eigen::MatrixXd information_;
  Eigen::VectorXd right_;
  Eigen::VectorXd mean_;
  Eigen::MatrixXd covariance_;
  double drift_variance_ = 0;  // of a jet, between the sheets before and now
};

}  // namespace scrapetrace::diagnose
