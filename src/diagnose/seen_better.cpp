// What a first fit of the jets tells about the scans themselves. Two things are wrong with "losses are sums
// of columns' losses" once jets are known to a tenth of a percent:
// - Light is averaged, not ink. A sample that sees columns with losses u in the parts w has the loss
//   mean(u) + (ln 10 / 2) D var(u) to second order, mean and variance weighted by w, D the ink's density.
// - The scan lies a few micrometres off its registration, and its blur is known to a few percent only: the
//   residuals then hold the jets' own pattern, differentiated. Both are fitted by one Gauss-Newton step, with
//   jets and mottle integrated out: g = (G^T C^-1 G + P)^-1 G^T C^-1 y, P the prior's precision.

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <cmath>
#include <numbers>

#include "diagnose/page_fit.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kBlurSpread = 0.1;  // of the blur: how well it is known

}  // namespace

std::vector<ScanLosses> PageFit::seen_better(const std::vector<PreparedScan>& scans) const {
  std::vector<double> straight(samples_.size());
  std::vector<ScanLosses> out = losses_;
  samples_.each([&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
    double& loss = out[s].patches[p].loss[i];
    loss -= 0.5 * std::numbers::ln10 * losses_[s].patches[p].density * unevenness(s, p, i);
    straight[k] = loss;
  });
  const std::vector<ScanLie> lies = lies_again(scans, straight);
  for (std::size_t s = 0; s < out.size(); ++s)
    out[s].footprints = ColumnFootprints(layout_, columns_, out[s].grid, lies[s]);
  return out;
}

double PageFit::unevenness(std::size_t scan, std::size_t patch, std::size_t sample) const {
  double weight = 0;
  double mean = 0;
  double square = 0;
  for (const SeenColumn& seen : losses_[scan].footprints.seen()[sample]) {
    const double u = unknowns_.loss_of(scan, patch, seen.column, likeliest_);
    weight += seen.weight;
    mean += seen.weight * u;
    square += seen.weight * u * u;
  }
  if (weight <= 0) return 0;
  mean /= weight;
  return square / weight - mean * mean;
}

std::vector<ScanLie> PageFit::lies_again(const std::vector<PreparedScan>& scans,
                                         const std::vector<double>& straight) const {
  std::vector<ScanLie> lies;
  std::vector<std::size_t> first;  // parameter of each scan; its shifts are followed by its blur
  std::size_t count = 0;
  for (const ScanLosses& scan : losses_) {
    lies.push_back(scan.footprints.lie());
    first.push_back(count);
    count += lies.back().shift_mm.size() + 1;
  }
  std::vector<std::vector<double>> by(count, std::vector<double>(samples_.size(), 0.0));  // G
  samples_.each([&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
    double shift = 0;
    double blur = 0;
    for (const SeenColumn& seen : losses_[s].footprints.seen()[i]) {
      const double u = unknowns_.loss_of(s, p, seen.column, likeliest_);
      const SeenSlopes slopes = losses_[s].footprints.slopes(static_cast<int>(i), seen.column);
      shift += slopes.by_shift * u;
      blur += slopes.by_blur * u;
    }
    const ScanLie::Knot knot = lies[s].knot(losses_[s].grid.at(static_cast<double>(i)));
    by[first[s] + knot.left][k] = shift * (1 - knot.right_part);
    by[first[s] + knot.left + 1][k] = shift * knot.right_part;
    by[first[s] + lies[s].shift_mm.size()][k] = blur;
  });
  std::vector<double> inverse_variance(samples_.size());
  samples_.each([&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
    inverse_variance[k] = 1 / variance(s, p, i);
  });
  const auto n = static_cast<Eigen::Index>(samples_.size());
  const auto row = [n](const std::vector<double>& v) {
    return Eigen::Map<const Eigen::ArrayXd>(v.data(), n);
  };
  const std::vector<double> left = left_over(straight, nullptr);
  const auto size = static_cast<Eigen::Index>(count);
  Eigen::MatrixXd precision = Eigen::MatrixXd::Zero(size, size);
  Eigen::VectorXd pull = Eigen::VectorXd::Zero(size);
  for (std::size_t a = 0; a < count; ++a) {
    const std::vector<double> own = left_over(by[a], nullptr);
    const auto j = static_cast<Eigen::Index>(a);
    for (std::size_t b = 0; b < count; ++b)
      precision(j, static_cast<Eigen::Index>(b)) = (row(own) * row(inverse_variance) * row(by[b])).sum();
    pull(j) = (row(left) * row(inverse_variance) * row(by[a])).sum();
  }
  for (std::size_t s = 0; s < lies.size(); ++s) {
    const std::size_t blur = first[s] + lies[s].shift_mm.size();
    for (std::size_t a = first[s]; a <= blur; ++a) {
      const double sigma = a < blur ? scans[s].x_sigma_mm : kBlurSpread * lies[s].blur_mm;
      precision(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(a)) += 1 / (sigma * sigma);
    }
  }
  const Eigen::VectorXd g = precision.ldlt().solve(pull);
  for (std::size_t s = 0; s < lies.size(); ++s) {
    for (std::size_t k = 0; k < lies[s].shift_mm.size(); ++k)
      lies[s].shift_mm[k] += g(static_cast<Eigen::Index>(first[s] + k));
    const double blur_mm = lies[s].blur_mm + g(static_cast<Eigen::Index>(first[s] + lies[s].shift_mm.size()));
    lies[s].blur_mm = std::clamp(blur_mm, 0.5 * lies[s].blur_mm, 2 * lies[s].blur_mm);
  }
  return lies;
}

}  // namespace scrapetrace::diagnose
