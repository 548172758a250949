#include "likelihood/pattern.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <set>

#include "likelihood/likelihood.h"

namespace scrapetrace::diagnose {

namespace {

// A cell where something was wrong may have lost anything; in the linear terms used here even more.
constexpr double kFreeInk_sigma = 5.0;
constexpr double kFreePaper_sigma = 0.1;  // density
// What a jet's volume may change by from one day to the next, as a part of its variation (common practice,
// no source).
constexpr double kDrift = 0.15;

}  // namespace

Pattern::Pattern(const Scene& scene, const std::vector<Interval>& known_mm, const InkNoise& noise) {
  const std::size_t n = scene.cells.size();
  jet_of_cell_.assign(n, -1);
  free_of_cell_.assign(n, -1);
  std::vector<double> variance;
  std::map<std::pair<int, int>, int> jets;
  for (std::size_t c = 0; c < n; ++c) {
    const Cell& cell = scene.cells[c];
    if (noise.ink >= 0 && !cell.owner.nobody()) {
      const auto [place, fresh] =
          jets.try_emplace({cell.owner.head, cell.owner.jet}, static_cast<int>(variance.size()));
      if (fresh) variance.push_back(noise.jet_sigma * noise.jet_sigma);
      jet_of_cell_[c] = place->second;
    }
    const double x = cell.middle_mm();
    if (std::any_of(known_mm.begin(), known_mm.end(),
                    [&](const Interval& k) { return x >= k.from_mm && x <= k.to_mm; })) {
      free_of_cell_[c] = static_cast<int>(variance.size());
      variance.push_back(std::pow(noise.ink >= 0 ? kFreeInk_sigma : kFreePaper_sigma, 2));
    }
  }
  const auto m = static_cast<Eigen::Index>(variance.size());
  prior_variance_ = Eigen::Map<Eigen::VectorXd>(variance.data(), m);
  information_ = prior_variance_.cwiseInverse().asDiagonal();
  right_ = Eigen::VectorXd::Zero(m);
  drift_variance_ = std::pow(kDrift * noise.jet_sigma, 2);
}

Eigen::MatrixXd Pattern::weights(const Scene& scene, const Trace& trace,
                                 const std::vector<double>& kept) const {
  const Blend blend = scene.blend(trace, 0);
  Eigen::MatrixXd w =
      Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(trace.value.size()), prior_variance_.size());
  std::vector<double> slope(scene.cells.size());
  for (std::size_t c = 0; c < slope.size(); ++c) {
    slope[c] =
        trace.ink < 0 ? -std::numbers::ln10 : kept[c] * cell_slope(trace.density[c], trace.coverage, kept[c]);
  }
  for (std::size_t i = 0; i < trace.value.size(); ++i) {
    const auto row = static_cast<Eigen::Index>(i);
    for (std::size_t k = 0; k < blend.weight[i].size(); ++k) {
      const auto c = static_cast<std::size_t>(blend.first[i]) + k;
      const double change = blend.weight[i][k] * slope[c];
      if (jet_of_cell_[c] >= 0) w(row, jet_of_cell_[c]) += change;
      if (free_of_cell_[c] >= 0) w(row, free_of_cell_[c]) += change;
    }
  }
  return w;
}

void Pattern::learn(const Scene& scene, const Trace& trace, const Eigen::MatrixXd& own) {
  const Eigen::MatrixXd w = weights(scene, trace, std::vector<double>(scene.cells.size(), 1.0));
  Eigen::VectorXd residual(w.rows());
  for (Eigen::Index i = 0; i < w.rows(); ++i) {
    const auto k = static_cast<std::size_t>(i);
    residual[i] = trace.value[k] - trace.base[k];
  }
  const Eigen::LLT<Eigen::MatrixXd> noise(own);
  information_ += w.transpose() * noise.solve(w);
  right_ += w.transpose() * noise.solve(residual);
}

void Pattern::solve() {
  const Eigen::Index m = prior_variance_.size();
  const Eigen::LLT<Eigen::MatrixXd> factor(information_);
  mean_ = factor.solve(right_);
  covariance_ = factor.solve(Eigen::MatrixXd::Identity(m, m));
  for (const int jet : std::set<int>(jet_of_cell_.begin(), jet_of_cell_.end())) {
    if (jet >= 0) covariance_(jet, jet) += drift_variance_;
  }
}

}  // namespace scrapetrace::diagnose
