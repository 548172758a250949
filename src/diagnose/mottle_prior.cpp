#include "diagnose/mottle_prior.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>

namespace scrapetrace::diagnose {

namespace {

constexpr double kUneven = 1e-3;  // part of the variance that is no neighbour's

// A knot less what so many knots before it let expect, and the variance of that.
struct Innovation {
  std::vector<double> weight;  // of the knot itself, the one before it, ...
  double variance = 1;
};

Innovation innovation(std::size_t order, double step) {
  const auto n = static_cast<Eigen::Index>(order);
  const auto covariance = [&](Eigen::Index steps) {
    const double d = static_cast<double>(steps) * step;
    return (1 - kUneven) * std::exp(-0.5 * d * d) + (steps == 0 ? kUneven : 0);
  };
  Eigen::MatrixXd among(n, n);
  Eigen::VectorXd with(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    with(i) = covariance(i + 1);
    for (Eigen::Index j = 0; j < n; ++j) among(i, j) = covariance(std::abs(i - j));
  }
  const Eigen::VectorXd expected = among.ldlt().solve(with);
  Innovation out{{1.0}, 1 - expected.dot(with)};
  for (Eigen::Index i = 0; i < n; ++i) out.weight.push_back(-expected(i));
  return out;
}

}  // namespace

std::vector<std::array<double, kMottleOrder + 1>> mottle_precision(std::size_t knots, double step) {
  std::vector<std::array<double, kMottleOrder + 1>> out(knots);
  std::vector<Innovation> innovations;
  for (std::size_t order = 0; order <= kMottleOrder; ++order) innovations.push_back(innovation(order, step));
  for (std::size_t k = 0; k < knots; ++k) {
    const Innovation& own = innovations[std::min(k, kMottleOrder)];
    for (std::size_t a = 0; a < own.weight.size(); ++a) {
      for (std::size_t b = a; b < own.weight.size(); ++b)
        out[k - a][b - a] += own.weight[a] * own.weight[b] / own.variance;
    }
  }
  return out;
}

}  // namespace scrapetrace::diagnose
