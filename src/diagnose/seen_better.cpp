// What a first fit of the jets tells about the scans themselves. Two things are wrong with "losses are sums
// of columns' losses" once jets are known to a tenth of a percent:
// - Light is averaged, not ink. A sample that sees columns with losses u in the parts w has the loss
//   mean(u) + (ln 10 / 2) D var(u) to second order, mean and variance weighted by w, D the ink's density.
// - The scan lies a few micrometres off its registration, and its blur is known to a few percent only: the
//   residuals then hold the jets' own pattern, differentiated. Both are fitted by one Gauss-Newton step, with
//   jets and mottle integrated out: g = (G^T C^-1 G + P)^-1 G^T C^-1 y, P the prior's precision.

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/parallel.h"
#include "diagnose/page_fit.h"
#include "profile/baseline.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kBlurSpread = 0.1;  // of the blur: how well it is known

// Variance of the losses of the columns that a sample sees, weighted by their parts in it; their mean square
// where the loss is that of a straight response already.
double unevenness(const std::vector<SeenColumn>& columns, const std::vector<double>& losses, bool straight) {
  double weight = 0;
  double mean = 0;
  double square = 0;
  for (const SeenColumn& seen : columns) {
    const double u = losses[static_cast<std::size_t>(seen.column)];
    weight += seen.weight;
    mean += seen.weight * u;
    square += seen.weight * u * u;
  }
  if (weight <= 0) return 0;
  mean /= weight;
  return square / weight - (straight ? 0 : mean * mean);
}

// Steps at seams as the fit has placed them: where they are off by a quarter of the blur, light no longer
// follows in proportion.
void step_again(const profile::Grid& grid, double blur_mm, const std::vector<double>& moved_mm,
                PatchLoss& patch) {
  if (patch.beside.empty()) return;
  std::vector<SeamLight::Step> steps = patch.seams.steps();
  for (std::size_t s = 0; s < steps.size(); ++s) steps[s].moved_mm += moved_mm[s];
  take_out_steps({std::move(steps), grid, PointSpread(blur_mm, grid.pitch_mm, patch.phases)}, patch);
}

// What a patch loses beside its own level, where that is taken of the trace without the jets and without what
// is known to be wrong: else the level follows them.
void level_again(const profile::Grid& grid, const std::vector<std::vector<SeenColumn>>& seen,
                 const std::vector<double>& of_columns, PatchLoss& patch) {
  std::vector<float> even(patch.amount.size(), std::numeric_limits<float>::quiet_NaN());
  int from = patch.to;
  int to = patch.from;
  for (int i = patch.from; i < patch.to; ++i) {
    const auto k = static_cast<std::size_t>(i);
    if (patch.amount[k] <= 0) continue;
    from = std::min(from, i);
    to = i + 1;
    if (patch.variance[k] <= 0) continue;
    double lost = 0;
    for (const SeenColumn& s : seen[k]) lost += s.weight * of_columns[static_cast<std::size_t>(s.column)];
    even[k] = static_cast<float>(patch.amount[k] / std::max(0.1, 1 - lost));
  }
  if (from >= to) return;
  const std::vector<float> level = profile::baseline(even, from, to, grid.pitch_mm, {});
  for (int i = from; i < to; ++i) {
    const auto k = static_cast<std::size_t>(i);
    if (patch.amount[k] > 0 && patch.variance[k] > 0)
      patch.loss[k] = 1 - patch.amount[k] / static_cast<double>(level[k]);
  }
}

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

// How a sample's loss changes with its scan's lie, by the losses of the columns that it sees.
SeenSlopes slopes_of(const std::vector<SeenColumn>& columns, const std::vector<SeenSlopes>& slopes,
                     const std::vector<double>& losses) {
  SeenSlopes out;
  for (std::size_t c = 0; c < columns.size(); ++c) {
    const double u = losses[static_cast<std::size_t>(columns[c].column)];
    out.by_shift += slopes[c].by_shift * u;
    out.by_blur += slopes[c].by_blur * u;
  }
  return out;
}

// Products of the columns of [G y], of which a sample has four entries that are not nought.
class Products {
 public:
  struct Entry {
    std::size_t column = 0;
    double value = 0;
  };

  Products(std::size_t unknowns, std::size_t columns)
      : unknowns_(unknowns), columns_(columns), carried_(unknowns * columns, 0.0) {
    own_.setZero(static_cast<Eigen::Index>(columns), static_cast<Eigen::Index>(columns));
  }

  using Row = std::array<Entry, 4>;

  void add(const Row& row, double precision) {
    for (const Entry& a : row) {
      for (const Entry& b : row)
        own_(static_cast<Eigen::Index>(a.column), static_cast<Eigen::Index>(b.column)) +=
            precision * a.value * b.value;
    }
  }

  void carry(const Row& row, double precision, std::span<const Part> parts) {
    for (const Part& part : parts) {
      double* const carried = carried_.data() + part.unknown * columns_;
      for (const Entry& a : row) carried[a.column] += precision * a.value * static_cast<double>(part.weight);
    }
  }

  // Less what the unknowns explain. Only once.
  [[nodiscard]] Eigen::MatrixXd less_explained(const BandedCholesky& system) {
    system.whiten_rows(carried_.data(), columns_, std::vector<std::size_t>(unknowns_, columns_));
    using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    const Eigen::Map<const Rows> v(carried_.data(), static_cast<Eigen::Index>(unknowns_),
                                   static_cast<Eigen::Index>(columns_));
    return own_ - v.transpose() * v;
  }

 private:
  std::size_t unknowns_;
  std::size_t columns_;
  std::vector<double> carried_;  // W^T N^-1 [G y], unknown by unknown
  Eigen::MatrixXd own_;          // [G y]^T N^-1 [G y]
};

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

std::vector<ScanLosses> PageFit::seen_better(const std::vector<PreparedScan>& scans) const {
  const Residuals of_columns = losses_of_columns();
  std::vector<double> straight(samples_->size());
  std::vector<ScanLosses> out = losses_;
  for (std::size_t s = 0; s < out.size(); ++s) {
    const auto moved_mm = unknowns_.steps_moved_mm(s, likeliest_);
    for_each_part(out[s].patches.size(), threads_, [&](std::size_t p) {
      step_again(out[s].grid, losses_[s].footprints.lie().blur_mm, moved_mm, out[s].patches[p]);
      level_again(out[s].grid, losses_[s].footprints.seen(), of_columns[s][p], out[s].patches[p]);
    });
  }
  samples_->each_side_by_side(
      threads_, [&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
        double& loss = out[s].patches[p].loss[i];
        loss -= 0.5 * std::numbers::ln10 * losses_[s].patches[p].density *
                unevenness(losses_[s].footprints.seen()[i], of_columns[s][p],
                           losses_[s].patches[p].seams.at(i) != nullptr);
        straight[k] = loss;
      });
  const std::vector<ScanLie> lies = lies_again(scans, straight, of_columns);
  for (std::size_t s = 0; s < out.size(); ++s)
    out[s].footprints = ColumnFootprints(layout_, columns_, out[s].grid, lies[s]);
  return out;
}

Residuals PageFit::losses_of_columns() const {
  Residuals out(losses_.size());
  for (std::size_t s = 0; s < losses_.size(); ++s) {
    for (std::size_t p = 0; p < losses_[s].patches.size(); ++p)
      out[s].push_back(unknowns_.losses_of(s, p, likeliest_));
  }
  return out;
}

// With V = L^-1 W^T N^-1 [G y], where L L^T is the system: [G y]^T C^-1 [G y] = [G y]^T N^-1 [G y] - V^T V.
std::vector<ScanLie> PageFit::lies_again(const std::vector<PreparedScan>& scans,
                                         const std::vector<double>& straight,
                                         const Residuals& of_columns) const {
  std::vector<ScanLie> lies;
  std::vector<std::vector<std::vector<SeenSlopes>>> slopes;
  for (const ScanLosses& scan : losses_) {
    lies.push_back(scan.footprints.lie());
    slopes.push_back(scan.footprints.slopes());
  }
  const LieNumbers numbers = number_lies(lies);
  std::vector<SeenSlopes> own(samples_->size());
  samples_->each_side_by_side(
      threads_, [&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
        own[k] = slopes_of(losses_[s].footprints.seen()[i], slopes[s][i], of_columns[s][p]);
      });
  const auto row_of = [&](std::size_t k, std::size_t s, std::size_t i) {
    const ScanLie::Knot knot = lies[s].knot(losses_[s].grid.at(static_cast<double>(i)));
    const std::size_t left = numbers.first[s] + knot.left;
    return Products::Row{{{left, own[k].by_shift * (1 - knot.right_part)},
                          {left + 1, own[k].by_shift * knot.right_part},
                          {numbers.first[s] + lies[s].shift_mm.size(), own[k].by_blur},
                          {numbers.count, straight[k]}}};
  };
  Products products(unknowns_.size(), numbers.count + 1);
  samples_->each([&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
    products.add(row_of(k, s, i), 1 / variance(s, p, i));
  });
  samples_->each_by_unknown(unknowns_.size(), threads_,
                            [&](std::size_t k, std::size_t s, std::size_t p, std::size_t i,
                                std::span<const Part> parts, const PageSamples::OwnParts& range) {
                              products.carry(row_of(k, s, i), 1 / variance(s, p, i),
                                             parts.subspan(range.from, range.to - range.from));
                            });
  const Eigen::MatrixXd product = products.less_explained(*system_);
  const auto size = static_cast<Eigen::Index>(numbers.count);
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
