// Evidence of the places for both ways in which the transfer may turn the print.

#include <Eigen/Dense>
#include <cmath>
#include <limits>
#include <numbers>

#include "fit/nominal_place.h"

namespace scrapetrace {

namespace {

constexpr double kOrigin_mm = 1000;  // standard deviation of the sheet's origin: unknown
constexpr double kSheet_mm = 300;    // a wrong place may lie anywhere on it

struct Seen {
  fit::NominalPlace nominal;
  double x_sheet_mm = 0;
  double sigma_mm = 0;
};

// log N(x; mean, covariance) of all places but one; `left_out` beyond the last: of all.
double log_density(const Layout& start, const std::vector<Seen>& seen, double slope, std::size_t left_out,
                   const LayoutFitOptions& options) {
  std::vector<const Seen*> in;
  for (std::size_t i = 0; i < seen.size(); ++i) {
    if (i != left_out) in.push_back(&seen[i]);
  }
  const auto n = static_cast<Eigen::Index>(in.size());
  Eigen::VectorXd off(n);
  Eigen::MatrixXd covariance(n, n);
  const double middle = start.drum.width_mm / 2;  // the origin is uncertain at the drum's middle
  for (Eigen::Index i = 0; i < n; ++i) {
    const Seen& a = *in[static_cast<std::size_t>(i)];
    off(i) = a.x_sheet_mm - slope * (a.nominal.x_drum_mm - middle);
    for (Eigen::Index j = 0; j < n; ++j) {
      const Seen& b = *in[static_cast<std::size_t>(j)];
      covariance(i, j) = kOrigin_mm * kOrigin_mm + options.scale_sigma * options.scale_sigma *
                                                       (a.nominal.x_drum_mm - middle) *
                                                       (b.nominal.x_drum_mm - middle);
      if (a.nominal.head == b.nominal.head) covariance(i, j) += options.head_sigma_mm * options.head_sigma_mm;
    }
    covariance(i, i) += a.sigma_mm * a.sigma_mm;
  }
  const Eigen::LLT<Eigen::MatrixXd> factor(covariance);
  const Eigen::MatrixXd lower = factor.matrixL();
  return -0.5 * factor.matrixL().solve(off).squaredNorm() - lower.diagonal().array().log().sum() -
         0.5 * static_cast<double>(n) * std::log(2 * std::numbers::pi);
}

double log_sum(const std::vector<double>& terms) {
  double most = -std::numeric_limits<double>::infinity();
  for (const double term : terms) most = std::max(most, term);
  double sum = 0;
  for (const double term : terms) sum += std::exp(term - most);
  return most + std::log(sum);
}

// No place wrong, or any one.
double log_evidence(const Layout& start, const std::vector<KnownPlace>& places, bool mirrored,
                    const LayoutFitOptions& options) {
  const geometry::ColumnMap columns(start);
  std::vector<Seen> seen;
  for (const KnownPlace& place : places) {
    const auto nominal = fit::nominal_place(start, columns, place);
    if (nominal) seen.push_back({*nominal, place.x_sheet_mm, std::hypot(place.sigma_mm, nominal->sigma_mm)});
  }
  const double slope = (mirrored ? -1 : 1) * start.transfer.scale_cross;
  const double n = static_cast<double>(seen.size());
  const double right = std::log1p(-options.wrong_place_part);
  std::vector<double> terms{n * right + log_density(start, seen, slope, seen.size(), options)};
  for (std::size_t i = 0; i < seen.size(); ++i) {
    terms.push_back((n - 1) * right + std::log(options.wrong_place_part / kSheet_mm) +
                    log_density(start, seen, slope, i, options));
  }
  return log_sum(terms);
}

}  // namespace

double mirrored_probability(const Layout& start, const std::vector<KnownPlace>& if_not,
                            const std::vector<KnownPlace>& if_mirrored, const LayoutFitOptions& options) {
  // An unmatched streak is a wrong place, equally likely anywhere on the sheet.
  const double left_out = std::log(options.wrong_place_part / kSheet_mm);
  const double more = static_cast<double>(if_mirrored.size()) - static_cast<double>(if_not.size());
  const double odds = log_evidence(start, if_mirrored, true, options) -
                      log_evidence(start, if_not, false, options) - more * left_out;
  return 1 / (1 + std::exp(-odds));
}

}  // namespace scrapetrace
