// Where scans lie, by the jets themselves: a scan lies a few micrometres off its registration, and its blur
// is known to a few percent only, so that residuals hold the jets' own pattern, differentiated. Both are
// fitted by one Gauss-Newton step, with jets and mottle integrated out: g = (G^T C^-1 G + P)^-1 G^T C^-1 y, P
// the prior's precision. With V = L^-1 W^T N^-1 [G y], where L L^T is the system: [G y]^T C^-1 [G y] = [G
// y]^T N^-1 [G y] - V^T V.

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cmath>

#include "base/parallel.h"
#include "diagnose/page_fit.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kBlurSpread = 0.1;  // of the blur: how well it is known

// The parameters of the scans' lies among one another: of each scan its shifts, then its blur.
struct LieNumbers {
  std::vector<std::size_t> first;  // per scan
  std::size_t count = 0;
};

LieNumbers number_lies(const std::vector<ScanLie>& lies) {
  LieNumbers out;
  for (const ScanLie& lie : lies) {
    out.first.push_back(out.count);
    out.count += lie.shift_mm.size() + 1;
  }
  return out;
}

// How what jets make samples lose of each ink changes with their scan's lie, by ink and sample.
struct LieSlopes {
  std::vector<std::vector<double>> by_shift;
  std::vector<std::vector<double>> by_blur;
};

LieSlopes slopes_of(const ColumnFootprints& footprints, const PageUnknowns& unknowns,
                    const std::vector<double>& m, int threads) {
  const auto& seen = footprints.seen();
  const std::vector<double> none(seen.size(), 0.0);
  LieSlopes out{std::vector(unknowns.inks(), none), std::vector(unknowns.inks(), none)};
  for_each_stretch(seen.size(), kSamplesAtOnce, threads, [&](std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i) {
      for (const SeenColumn& column : seen[i]) {
        const SeenSlopes slopes = footprints.slopes_at(static_cast<int>(i), column.column);
        const std::size_t jet = unknowns.jet(column.column);
        for (std::size_t ink = 0; ink < unknowns.inks(); ++ink) {
          out.by_shift[ink][i] += slopes.by_shift * m[jet + ink];
          out.by_blur[ink][i] += slopes.by_blur * m[jet + ink];
        }
      }
    }
  });
  return out;
}

// Of one scan: its slopes, weighed, and the losses that they are to explain.
struct WeighedLie {
  LieSlopes slopes;
  PageSamples::ByInk by_shift;
  PageSamples::ByInk by_blur;
  PageSamples::ByInk loss;
};

double dot_of_inks(const std::vector<std::vector<double>>& a, const std::vector<std::vector<double>>& b,
                   std::size_t i) {
  double sum = 0;
  for (std::size_t ink = 0; ink < a.size(); ++ink) sum += a[ink][i] * b[ink][i];
  return sum;
}

// [G y]^T N^-1 [G y] of a scan, but y^T N^-1 y. A sample's shift is shared out to the knots beside it.
void add_own(const WeighedLie& scan, const std::vector<ScanLie::Knot>& knots, std::size_t first,
             std::size_t blur, Eigen::MatrixXd& out) {
  const auto y = out.cols() - 1;
  const auto add = [&](std::size_t a, auto b, double value) {
    out(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(b)) += value;
  };
  for (std::size_t i = 0; i < knots.size(); ++i) {
    const double shift_shift = dot_of_inks(scan.slopes.by_shift, scan.by_shift.together, i);
    const double shift_blur = dot_of_inks(scan.slopes.by_blur, scan.by_shift.together, i);
    const double shift_y = dot_of_inks(scan.slopes.by_shift, scan.loss.together, i);
    const std::array parts{1 - knots[i].right_part, knots[i].right_part};
    for (std::size_t a = 0; a < parts.size(); ++a) {
      const std::size_t row = first + knots[i].left + a;
      for (std::size_t b = 0; b < parts.size(); ++b)
        add(row, first + knots[i].left + b, parts[a] * parts[b] * shift_shift);
      add(row, blur, parts[a] * shift_blur);
      add(blur, row, parts[a] * shift_blur);
      add(row, y, parts[a] * shift_y);
    }
    add(blur, blur, dot_of_inks(scan.slopes.by_blur, scan.by_blur.together, i));
    add(blur, y, dot_of_inks(scan.slopes.by_blur, scan.loss.together, i));
  }
}

// The columns of [G y] that a scan's samples fill: one per knot of its shift, one of its blur, and y.
std::vector<PageSamples::Column> columns_of(const WeighedLie& scan, const std::vector<ScanLie::Knot>& knots,
                                            std::size_t first, std::size_t blur, std::size_t y) {
  std::vector<PageSamples::Column> out;
  const PageSamples::Range all{0, knots.size()};
  for (std::size_t k = 0; first + k < blur; ++k) {
    PageSamples::Column column{first + k, &scan.by_shift, {knots.size(), 0}, {}};
    for (std::size_t i = 0; i < knots.size(); ++i) {
      if (knots[i].left != k && knots[i].left + 1 != k) continue;
      column.samples = {std::min(column.samples.from, i), i + 1};
      column.factors.push_back(knots[i].left == k ? 1 - knots[i].right_part : knots[i].right_part);
    }
    out.push_back(std::move(column));
  }
  out.push_back({blur, &scan.by_blur, all, {}});
  out.push_back({y, &scan.loss, all, {}});
  return out;
}

// V^T V of `v` with `width` columns, unknown by unknown; whitens them first.
Eigen::MatrixXd explained(const BandedCholesky& system, std::vector<double>& v, std::size_t width,
                          int threads) {
  constexpr std::size_t kAtOnce = 4;
  for_each_stretch(width, kAtOnce, threads, [&](std::size_t from, std::size_t to) {
    system.whiten_rows(v.data() + from, width, std::vector<std::size_t>(system.size(), to - from));
  });
  using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
  const Eigen::Map<const Rows> all(v.data(), static_cast<Eigen::Index>(system.size()),
                                   static_cast<Eigen::Index>(width));
  return all.transpose() * all;
}

void move_lies(const Eigen::VectorXd& by, const LieNumbers& numbers, std::vector<ScanLie>& lies) {
  for (std::size_t s = 0; s < lies.size(); ++s) {
    ScanLie& lie = lies[s];
    for (std::size_t k = 0; k < lie.shift_mm.size(); ++k)
      lie.shift_mm[k] += by(static_cast<Eigen::Index>(numbers.first[s] + k));
    const double more = by(static_cast<Eigen::Index>(numbers.first[s] + lie.shift_mm.size()));
    lie.blur_mm = std::clamp(lie.blur_mm + more, 0.5 * lie.blur_mm, 2 * lie.blur_mm);
  }
}

}  // namespace

std::vector<ScanLie> PageFit::lies_again(const std::vector<PreparedScan>& scans, const Patches& by) const {
  std::vector<ScanLie> lies;
  for (const ScanLosses& scan : losses_) lies.push_back(scan.footprints.lie());
  const LieNumbers numbers = number_lies(lies);
  const std::size_t width = numbers.count + 1;
  const auto size = static_cast<Eigen::Index>(numbers.count);
  Eigen::MatrixXd product = Eigen::MatrixXd::Zero(size + 1, size + 1);
  std::vector<double> v(unknowns_.size() * width, 0.0);
  for (std::size_t s = 0; s < losses_.size(); ++s) {
    std::vector<std::vector<double>> y;
    for (const PatchLoss& view : by[s]) y.push_back(view.loss);
    WeighedLie scan;
    scan.slopes = slopes_of(losses_[s].footprints, unknowns_, likeliest_, threads_);
    scan.by_shift = samples_->weigh_inks(s, scan.slopes.by_shift, threads_);
    scan.by_blur = samples_->weigh_inks(s, scan.slopes.by_blur, threads_);
    scan.loss = samples_->weigh(s, y, threads_);
    std::vector<ScanLie::Knot> knots;
    for (int i = 0; i < losses_[s].grid.size; ++i) knots.push_back(lies[s].knot(losses_[s].grid.at(i)));
    const std::size_t blur = numbers.first[s] + lies[s].shift_mm.size();
    add_own(scan, knots, numbers.first[s], blur, product);
    samples_->carry(s, columns_of(scan, knots, numbers.first[s], blur, numbers.count), width, v, threads_);
  }
  product -= explained(*system_, v, width, threads_);
  Eigen::MatrixXd precision = product.topLeftCorner(size, size);
  for (std::size_t s = 0; s < lies.size(); ++s) {
    const std::size_t blur = numbers.first[s] + lies[s].shift_mm.size();
    for (std::size_t a = numbers.first[s]; a <= blur; ++a) {
      const double sigma = a < blur ? scans[s].x_sigma_mm : kBlurSpread * lies[s].blur_mm;
      precision(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(a)) += 1 / (sigma * sigma);
    }
  }
  move_lies(precision.ldlt().solve(product.col(size).head(size)), numbers, lies);
  return lies;
}

}  // namespace scrapetrace::diagnose
