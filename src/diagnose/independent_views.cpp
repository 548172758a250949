#include "diagnose/independent_views.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <map>

#include "base/robust.h"

namespace scrapetrace::diagnose {

namespace {

constexpr std::size_t kFewestPairs = 50;
constexpr double kMostAlike = 0.9;  // two channels with the same noise tell no more than one; nor less

bool seen_in_all(const std::vector<PatchLoss*>& views, std::size_t k) {
  return std::all_of(views.begin(), views.end(), [&](const PatchLoss* v) { return v->variance[k] > 0; });
}

// As strong as it can be and still be one.
Eigen::MatrixXd correlation(const std::vector<std::vector<double>>& residuals) {
  const auto count = static_cast<Eigen::Index>(residuals.size());
  Eigen::MatrixXd out = Eigen::MatrixXd::Identity(count, count);
  for (Eigen::Index a = 0; a < count; ++a) {
    for (Eigen::Index b = 0; b < a; ++b) {
      const double r =
          robust_correlation(residuals[static_cast<std::size_t>(a)], residuals[static_cast<std::size_t>(b)]);
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

// Samples that are not seen in all views are given up: their noise would be another.
void combine(const std::vector<std::vector<double>>& residuals, const std::vector<PatchLoss*>& views) {
  const std::size_t size = views.front()->loss.size();
  std::vector<std::vector<double>> common(views.size());
  for (std::size_t k = 0; k < size; ++k) {
    const bool seen = seen_in_all(views, k);
    for (std::size_t v = 0; v < views.size(); ++v) {
      if (seen) common[v].push_back(residuals[v][k]);
      if (!seen) views[v]->variance[k] = 0;
    }
  }
  const Eigen::MatrixXd l = correlation(common).llt().matrixL();
  const auto count = static_cast<Eigen::Index>(views.size());
  Eigen::MatrixXd by = l.triangularView<Eigen::Lower>().solve(Eigen::MatrixXd::Identity(count, count));
  std::vector<double> sigma;  // in the middle of what they see; rows differ alike in all
  for (const PatchLoss* view : views) {
    std::vector<double> own;
    for (const double v : view->variance) {
      if (v > 0) own.push_back(v);
    }
    sigma.push_back(own.empty() ? 1 : std::sqrt(median(std::move(own))));
  }
  for (Eigen::Index a = 0; a < count; ++a) {
    for (Eigen::Index b = 0; b < count; ++b)
      by(a, b) *= sigma[static_cast<std::size_t>(a)] / sigma[static_cast<std::size_t>(b)];
  }
  const auto replace = [&](const auto& field, std::size_t k) {
    Eigen::VectorXd old(count);
    for (Eigen::Index v = 0; v < count; ++v) old(v) = field(*views[static_cast<std::size_t>(v)])[k];
    const Eigen::VectorXd fresh = by * old;
    for (Eigen::Index v = 0; v < count; ++v) field(*views[static_cast<std::size_t>(v)])[k] = fresh(v);
  };
  for (std::size_t k = 0; k < size; ++k)
    replace([](PatchLoss& v) -> std::vector<double>& { return v.loss; }, k);
  for (std::size_t i = 0; i < views.front()->share.size(); ++i)
    replace([](PatchLoss& v) -> std::vector<double>& { return v.share; }, i);
}

}  // namespace

double robust_correlation(const std::vector<double>& a, const std::vector<double>& b) {
  if (a.size() != b.size() || a.size() < kFewestPairs) return 0;
  const double sigma_a = robust_sigma(a, median(a));
  const double sigma_b = robust_sigma(b, median(b));
  if (sigma_a <= 0 || sigma_b <= 0) return 0;
  std::vector<double> sum;
  std::vector<double> difference;
  for (std::size_t k = 0; k < a.size(); ++k) {
    sum.push_back(a[k] / sigma_a + b[k] / sigma_b);
    difference.push_back(a[k] / sigma_a - b[k] / sigma_b);
  }
  const double more = std::pow(robust_sigma(sum, median(sum)), 2);
  const double less = std::pow(robust_sigma(difference, median(difference)), 2);
  return more + less > 0 ? (more - less) / (more + less) : 0;
}

void make_independent(const std::vector<std::vector<double>>& residuals, std::vector<PatchLoss>& views) {
  std::map<int, std::vector<std::size_t>> by_patch;
  for (std::size_t v = 0; v < views.size(); ++v) by_patch[views[v].patch].push_back(v);
  for (const auto& [patch, numbers] : by_patch) {
    if (numbers.size() < 2) continue;
    std::vector<std::vector<double>> own;
    std::vector<PatchLoss*> of_patch;
    for (const std::size_t v : numbers) {
      own.push_back(residuals[v]);
      of_patch.push_back(&views[v]);
    }
    combine(own, of_patch);
  }
}

}  // namespace scrapetrace::diagnose
