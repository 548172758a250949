#include "fit/solve.h"

namespace scrapetrace::fit {

namespace {

// Relative to the largest singular value, with columns scaled to unit length: smaller ones are rounding.
constexpr double kRankTolerance = 1e-9;

// Columns: [a,] b, g_1, g_2, ...; rows over their sigma.
Eigen::MatrixXd design_of(const std::vector<Sample>& samples, std::size_t heads, bool with_slope) {
  const Eigen::Index shift = with_slope ? 2 : 1;
  Eigen::MatrixXd design = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(samples.size()),
                                                 shift + static_cast<Eigen::Index>(heads) - 1);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const auto row = static_cast<Eigen::Index>(i);
    if (with_slope) design(row, 0) = samples[i].x_drum_mm;
    design(row, shift - 1) = 1;
    if (samples[i].head > 0) design(row, shift + static_cast<Eigen::Index>(samples[i].head) - 1) = 1;
    design.row(row) /= samples[i].sigma_mm;
  }
  return design;
}

// Covariance of (a, b, d) from that of (a, b, g): d = g / a.
Eigen::MatrixXd in_heads(const Eigen::MatrixXd& linear, const Eigen::VectorXd& parameters) {
  const double a = parameters(0);
  Eigen::MatrixXd jacobian = Eigen::MatrixXd::Identity(linear.rows(), linear.cols());
  for (Eigen::Index k = 2; k < linear.rows(); ++k) {
    jacobian(k, k) = 1 / a;
    jacobian(k, 0) = -parameters(k) / (a * a);
  }
  return jacobian * linear * jacobian.transpose();
}

}  // namespace

std::optional<Solution> solve(const std::vector<Sample>& samples, std::size_t heads,
                              std::optional<double> slope) {
  const Eigen::MatrixXd design = design_of(samples, heads, !slope);
  if (design.rows() < design.cols()) return std::nullopt;
  Eigen::VectorXd measured(design.rows());
  for (Eigen::Index i = 0; i < design.rows(); ++i) {
    const Sample& sample = samples[static_cast<std::size_t>(i)];
    measured(i) = (sample.x_sheet_mm - slope.value_or(0) * sample.x_drum_mm) / sample.sigma_mm;
  }
  const Eigen::VectorXd length = design.colwise().norm().cwiseMax(1e-300);
  const Eigen::BDCSVD<Eigen::MatrixXd> svd(design * length.cwiseInverse().asDiagonal(),
                                           Eigen::ComputeThinU | Eigen::ComputeThinV);
  const auto& singular = svd.singularValues();
  if (singular(singular.size() - 1) < kRankTolerance * singular(0)) return std::nullopt;
  const Eigen::VectorXd found = length.cwiseInverse().asDiagonal() * svd.solve(measured);
  const Eigen::MatrixXd half =
      length.cwiseInverse().asDiagonal() * svd.matrixV() * singular.cwiseInverse().asDiagonal();
  const Eigen::Index kept = slope ? 1 : 0;
  const Eigen::Index n = design.cols() + kept;
  Eigen::VectorXd parameters(n);
  Eigen::MatrixXd linear = Eigen::MatrixXd::Zero(n, n);
  if (slope) parameters(0) = *slope;
  parameters.tail(design.cols()) = found;
  linear.bottomRightCorner(design.cols(), design.cols()) = half * half.transpose();

  Solution out;
  out.slope = parameters(0);
  out.intercept_mm = parameters(1);
  out.slope_fitted = !slope;
  out.moved_mm.assign(heads, 0);
  for (std::size_t h = 1; h < heads; ++h)
    out.moved_mm[h] = parameters(static_cast<Eigen::Index>(h) + 1) / out.slope;
  out.covariance = in_heads(linear, parameters);
  const Eigen::VectorXd residual = measured - design * found;
  out.chi2 = residual.squaredNorm();
  out.degrees_of_freedom = static_cast<int>(design.rows() - design.cols());
  for (Eigen::Index i = 0; i < design.rows(); ++i) {
    out.residual_mm.push_back(residual(i) * samples[static_cast<std::size_t>(i)].sigma_mm);
    out.leverage.push_back(svd.matrixU().row(i).squaredNorm());
  }
  return out;
}

}  // namespace scrapetrace::fit
