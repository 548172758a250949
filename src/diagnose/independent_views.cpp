#include "diagnose/independent_views.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <utility>

#include "base/parallel.h"
#include "base/robust.h"

namespace scrapetrace::diagnose {

namespace {

constexpr std::size_t kFewestPairs = 50;
constexpr double kMostAlike = 0.9;  // a stronger correlation would make much of what two views differ by

bool seen_in_all(const std::vector<PatchLoss*>& views, std::size_t k) {
  return std::all_of(views.begin(), views.end(), [&](const PatchLoss* v) { return v->variance[k] > 0; });
}

// In standard deviations, robustly; empty for too few values, or constant ones.
std::vector<double> standardised(std::vector<double> values) {
  if (values.size() < kFewestPairs) return {};
  const double sigma = robust_sigma(values, median(values));
  if (sigma <= 0) return {};
  for (double& v : values) v /= sigma;
  return values;
}

double correlation_of_standardised(const std::vector<double>& a, const std::vector<double>& b) {
  if (a.empty() || a.size() != b.size()) return 0;
  std::vector<double> sum;
  std::vector<double> difference;
  sum.reserve(a.size());
  difference.reserve(a.size());
  for (std::size_t k = 0; k < a.size(); ++k) {
    sum.push_back(a[k] + b[k]);
    difference.push_back(a[k] - b[k]);
  }
  const double more = std::pow(robust_sigma(sum, median(sum)), 2);
  const double less = std::pow(robust_sigma(difference, median(difference)), 2);
  const double both = more + less;
  return std::isfinite(both) && both > 0 ? (more - less) / both : 0;
}

// As strong as it can be and still be one.
Eigen::MatrixXd correlation(std::vector<std::vector<double>> residuals) {
  const auto count = static_cast<Eigen::Index>(residuals.size());
  for (auto& of_view : residuals) of_view = standardised(std::move(of_view));
  Eigen::MatrixXd out = Eigen::MatrixXd::Identity(count, count);
  for (Eigen::Index a = 0; a < count; ++a) {
    for (Eigen::Index b = 0; b < a; ++b) {
      const double r = correlation_of_standardised(residuals[static_cast<std::size_t>(a)],
                                                   residuals[static_cast<std::size_t>(b)]);
      out(a, b) = out(b, a) = std::clamp(r, -kMostAlike, kMostAlike);
    }
  }
  constexpr double kWeaker = 0.8;
  constexpr double kLeastPivot = 1 - kMostAlike * kMostAlike;
  const auto sound = [&] {
    const Eigen::LLT<Eigen::MatrixXd> llt(out);
    const Eigen::MatrixXd l = llt.matrixL();
    return llt.info() == Eigen::Success && l.diagonal().array().square().minCoeff() >= 0.5 * kLeastPivot;
  };
  while (!sound()) {
    for (Eigen::Index a = 0; a < count; ++a) {
      for (Eigen::Index b = 0; b < count; ++b) out(a, b) *= a == b ? 1 : kWeaker;
    }
  }
  return out;
}

// The residuals where all views are seen. Elsewhere their noise would be another: such samples are given up.
std::vector<std::vector<double>> seen_together(const std::vector<std::vector<double>>& residuals,
                                               const std::vector<PatchLoss*>& views) {
  std::vector<std::vector<double>> out(views.size());
  for (std::size_t k = 0; k < views.front()->loss.size(); ++k) {
    const bool seen = seen_in_all(views, k);
    for (std::size_t v = 0; v < views.size(); ++v) {
      if (seen) {
        out[v].push_back(residuals[v][k]);
      } else {
        views[v]->variance[k] = 0;
      }
    }
  }
  return out;
}

// In the middle of what a view shows: over the samples its variance changes as the others' does, with the
// rows.
double middle_sigma(const PatchLoss& view) {
  std::vector<double> variance;
  for (const double v : view.variance) {
    if (v > 0) variance.push_back(v);
  }
  return variance.empty() ? 1 : std::sqrt(median(variance));
}

// S^1/2 L^-1 S^-1/2.
Eigen::MatrixXd combination(std::vector<std::vector<double>> residuals,
                            const std::vector<PatchLoss*>& views) {
  const auto count = static_cast<Eigen::Index>(views.size());
  Eigen::VectorXd sigma(count);
  for (Eigen::Index v = 0; v < count; ++v) sigma(v) = middle_sigma(*views[static_cast<std::size_t>(v)]);
  const Eigen::MatrixXd l = correlation(std::move(residuals)).llt().matrixL();
  const Eigen::MatrixXd inverse =
      l.triangularView<Eigen::Lower>().solve(Eigen::MatrixXd::Identity(count, count));
  return sigma.asDiagonal() * inverse * sigma.cwiseInverse().asDiagonal();
}

// Entry k of one of the views' fields becomes what the combination makes of all views' entries.
template <class Field>
void replace(const Eigen::MatrixXd& by, const std::vector<PatchLoss*>& views, std::size_t k,
             const Field& field) {
  Eigen::VectorXd old(by.cols());
  for (std::size_t v = 0; v < views.size(); ++v) old(static_cast<Eigen::Index>(v)) = field(*views[v])[k];
  const Eigen::VectorXd fresh = by * old;
  for (std::size_t v = 0; v < views.size(); ++v) field(*views[v])[k] = fresh(static_cast<Eigen::Index>(v));
}

void combine(const std::vector<std::vector<double>>& residuals, const std::vector<PatchLoss*>& views) {
  const Eigen::MatrixXd by = combination(seen_together(residuals, views), views);
  for (std::size_t k = 0; k < views.front()->loss.size(); ++k)
    replace(by, views, k, [](PatchLoss& v) -> std::vector<double>& { return v.loss; });
  for (std::size_t i = 0; i < views.front()->share.size(); ++i)
    replace(by, views, i, [](PatchLoss& v) -> std::vector<double>& { return v.share; });
}

}  // namespace

double robust_correlation(const std::vector<double>& a, const std::vector<double>& b) {
  return correlation_of_standardised(standardised(a), standardised(b));
}

void make_independent(const std::vector<std::vector<double>>& residuals, std::vector<PatchLoss>& views,
                      int threads) {
  std::map<int, std::vector<std::size_t>> by_patch;
  for (std::size_t v = 0; v < views.size(); ++v) by_patch[views[v].patch].push_back(v);
  std::erase_if(by_patch, [](const auto& patch) { return patch.second.size() < 2; });
  for_each_part(by_patch.size(), threads, [&](std::size_t p) {
    std::vector<std::vector<double>> own;
    std::vector<PatchLoss*> of_patch;
    for (const std::size_t v : std::next(by_patch.begin(), static_cast<std::ptrdiff_t>(p))->second) {
      own.push_back(residuals[v]);
      of_patch.push_back(&views[v]);
    }
    combine(own, of_patch);
  });
}

}  // namespace scrapetrace::diagnose
