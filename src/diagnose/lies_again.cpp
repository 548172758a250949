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

// The columns of [y G]: the losses, the scans' blurs, and their shifts by place, so that those farther right
// are nought for all unknowns farther left.
struct LieColumns {
  std::size_t loss = 0;
  std::vector<std::size_t> blur;                // per scan
  std::vector<std::vector<std::size_t>> shift;  // per scan, by knot
  std::size_t count = 1;
};

LieColumns number_columns(const std::vector<ScanLie>& lies) {
  LieColumns out;
  std::size_t most = 0;
  for (const ScanLie& lie : lies) {
    out.blur.push_back(out.count++);
    out.shift.emplace_back(lie.shift_mm.size());
    most = std::max(most, lie.shift_mm.size());
  }
  for (std::size_t k = 0; k < most; ++k) {
    for (auto& of_scan : out.shift) {
      if (k < of_scan.size()) of_scan[k] = out.count++;
    }
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

// [y G]^T N^-1 [y G] of a scan, but y^T N^-1 y. A sample's shift is shared out to the knots beside it.
void add_own(const WeighedLie& scan, const std::vector<ScanLie::Knot>& knots,
             const std::vector<std::size_t>& shift, std::size_t blur, std::size_t loss,
             Eigen::MatrixXd& out) {
  const auto add = [&](std::size_t a, std::size_t b, double value) {
    out(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(b)) += value;
  };
  for (std::size_t i = 0; i < knots.size(); ++i) {
    const double shift_shift = dot_of_inks(scan.slopes.by_shift, scan.by_shift.together, i);
    const double shift_blur = dot_of_inks(scan.slopes.by_blur, scan.by_shift.together, i);
    const double shift_loss = dot_of_inks(scan.slopes.by_shift, scan.loss.together, i);
    const std::array parts{1 - knots[i].right_part, knots[i].right_part};
    for (std::size_t a = 0; a < parts.size(); ++a) {
      const std::size_t row = shift[knots[i].left + a];
      for (std::size_t b = 0; b < parts.size(); ++b)
        add(row, shift[knots[i].left + b], parts[a] * parts[b] * shift_shift);
      add(row, blur, parts[a] * shift_blur);
      add(blur, row, parts[a] * shift_blur);
      add(row, loss, parts[a] * shift_loss);
    }
    add(blur, blur, dot_of_inks(scan.slopes.by_blur, scan.by_blur.together, i));
    add(blur, loss, dot_of_inks(scan.slopes.by_blur, scan.loss.together, i));
  }
}

// What a scan's samples put into the columns.
std::vector<PageSamples::Column> columns_of(const WeighedLie& scan, const std::vector<ScanLie::Knot>& knots,
                                            const std::vector<std::size_t>& shift, std::size_t blur,
                                            std::size_t loss) {
  const PageSamples::Range all{0, knots.size()};
  std::vector<PageSamples::Column> out{{loss, &scan.loss, all, {}}, {blur, &scan.by_blur, all, {}}};
  for (std::size_t k = 0; k < shift.size(); ++k) {
    PageSamples::Column column{shift[k], &scan.by_shift, {knots.size(), 0}, {}};
    for (std::size_t i = 0; i < knots.size(); ++i) {
      if (knots[i].left != k && knots[i].left + 1 != k) continue;
      column.samples = {std::min(column.samples.from, i), i + 1};
      column.factors.push_back(knots[i].left == k ? 1 - knots[i].right_part : knots[i].right_part);
    }
    out.push_back(std::move(column));
  }
  return out;
}

// V^T V of `v` with `width` columns, unknown by unknown; whitens them first.
Eigen::MatrixXd explained(const BandedCholesky& system, std::vector<double>& v, std::size_t width) {
  std::vector<std::size_t> reached;
  std::size_t most = 0;
  for (std::size_t u = 0; u < system.size(); ++u) {
    for (std::size_t c = most; c < width; ++c) {
      if (v[u * width + c] != 0) most = c + 1;
    }
    reached.push_back(most);
  }
  system.whiten_rows(v.data(), width, reached);
  using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
  const Eigen::Map<const Rows> all(v.data(), static_cast<Eigen::Index>(system.size()),
                                   static_cast<Eigen::Index>(width));
  return all.transpose() * all;
}

void move_lies(const Eigen::VectorXd& by, const LieColumns& columns, std::vector<ScanLie>& lies) {
  const auto moved = [&](std::size_t column) { return by(static_cast<Eigen::Index>(column) - 1); };
  for (std::size_t s = 0; s < lies.size(); ++s) {
    ScanLie& lie = lies[s];
    for (std::size_t k = 0; k < lie.shift_mm.size(); ++k) lie.shift_mm[k] += moved(columns.shift[s][k]);
    const double more = moved(columns.blur[s]);
    lie.blur_mm = std::clamp(lie.blur_mm + more, 0.5 * lie.blur_mm, 2 * lie.blur_mm);
  }
}

}  // namespace

std::vector<ScanLie> PageFit::lies_again(const std::vector<PreparedScan>& scans, const Patches& by) const {
  std::vector<ScanLie> lies;
  for (const ScanLosses& scan : losses_) lies.push_back(scan.footprints.lie());
  const LieColumns columns = number_columns(lies);
  const auto count = static_cast<Eigen::Index>(columns.count);
  Eigen::MatrixXd product = Eigen::MatrixXd::Zero(count, count);
  std::vector<double> v(unknowns_.size() * columns.count, 0.0);
  BySample y = samples_->zeros();
  samples_->each(threads_,
                 [&](std::size_t s, std::size_t p, std::size_t i) { y[s][p][i] = by[s][p].loss[i]; });
  for (std::size_t s = 0; s < losses_.size(); ++s) {
    WeighedLie scan;
    scan.slopes = slopes_of(losses_[s].footprints, unknowns_, likeliest_, threads_);
    scan.by_shift = samples_->weigh_inks(s, scan.slopes.by_shift, threads_);
    scan.by_blur = samples_->weigh_inks(s, scan.slopes.by_blur, threads_);
    scan.loss = samples_->weigh(s, y[s], threads_);
    std::vector<ScanLie::Knot> knots;
    for (int i = 0; i < losses_[s].grid.size; ++i) knots.push_back(lies[s].knot(losses_[s].grid.at(i)));
    add_own(scan, knots, columns.shift[s], columns.blur[s], columns.loss, product);
    samples_->carry(s, columns_of(scan, knots, columns.shift[s], columns.blur[s], columns.loss),
                    columns.count, v, threads_);
  }
  product -= explained(*system_, v, columns.count);
  Eigen::MatrixXd precision = product.bottomRightCorner(count - 1, count - 1);
  const auto add_prior = [&](std::size_t column, double sigma) {
    const auto at = static_cast<Eigen::Index>(column) - 1;
    precision(at, at) += 1 / (sigma * sigma);
  };
  for (std::size_t s = 0; s < lies.size(); ++s) {
    for (const std::size_t column : columns.shift[s]) add_prior(column, scans[s].x_sigma_mm);
    add_prior(columns.blur[s], kBlurSpread * lies[s].blur_mm);
  }
  move_lies(precision.ldlt().solve(product.col(0).tail(count - 1)), columns, lies);
  return lies;
}

}  // namespace scrapetrace::diagnose
