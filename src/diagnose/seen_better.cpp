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
#include <utility>

#include "base/parallel.h"
#include "diagnose/page_fit.h"
#include "profile/baseline.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kBlurSpread = 0.1;  // of the blur: how well it is known

// Variance of the losses of the columns that a sample sees, weighted by their parts in it; their mean square
// where the loss is that of a straight response already.
double unevenness(std::span<const SeenColumn> columns, const std::vector<double>& losses, bool straight) {
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
void level_again(const profile::Grid& grid, const Ragged<SeenColumn>& seen,
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

// How what jets make samples lose changes with their scan's lie, per sample and ink.
std::vector<SeenSlopes> slopes_of(const ColumnFootprints& footprints, const PageUnknowns& unknowns,
                                  const std::vector<double>& m, int threads) {
  const auto& seen = footprints.seen();
  std::vector<SeenSlopes> out(seen.size() * unknowns.inks());
  for_each_stretch(seen.size(), kSamplesAtOnce, threads, [&](std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i) {
      for (const SeenColumn& column : seen[i]) {
        const SeenSlopes slopes = footprints.slopes_at(static_cast<int>(i), column.column);
        const std::size_t jet = unknowns.jet(column.column);
        for (std::size_t ink = 0; ink < unknowns.inks(); ++ink) {
          SeenSlopes& sum = out[i * unknowns.inks() + ink];
          sum.by_shift += slopes.by_shift * m[jet + ink];
          sum.by_blur += slopes.by_blur * m[jet + ink];
        }
      }
    }
  });
  return out;
}

// How a sample's loss changes with its scan's shift there and with its blur, and the loss itself: a row of
// [G y], before the shift is shared out to the knots beside it.
using LieRow = std::array<double, 3>;

// Products of the columns of [G y].
class Products {
 public:
  // Which columns a sample's row fills, and with what parts of it.
  struct Columns {
    std::size_t left = 0;   // of the shift's knots
    double right_part = 0;  // of the knot after it
    std::size_t blur = 0;
  };

  Products(std::size_t unknowns, std::size_t columns, std::size_t views)
      : unknowns_(unknowns),
        columns_(columns),
        carried_(unknowns * columns, 0.0),
        own_(views,
             Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(columns), static_cast<Eigen::Index>(columns))) {}

  void add(std::size_t view, const Columns& at, const LieRow& row, double precision) {
    const auto filled = fill(at, row);
    for (const auto& [a, of_a] : filled) {
      for (const auto& [b, of_b] : filled)
        own_[view](static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(b)) += precision * of_a * of_b;
    }
  }

  void carry(const Columns& at, std::size_t unknown, const LieRow& part) {
    double* const carried = carried_.data() + unknown * columns_;
    for (const auto& [column, value] : fill(at, part)) carried[column] += value;
  }

  // Less what the unknowns explain. Only once.
  [[nodiscard]] Eigen::MatrixXd less_explained(const BandedCholesky& system) {
    system.whiten_rows(carried_.data(), columns_, std::vector<std::size_t>(unknowns_, columns_));
    using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    const Eigen::Map<const Rows> v(carried_.data(), static_cast<Eigen::Index>(unknowns_),
                                   static_cast<Eigen::Index>(columns_));
    Eigen::MatrixXd out = -(v.transpose() * v);
    for (const Eigen::MatrixXd& own : own_) out += own;
    return out;
  }

 private:
  [[nodiscard]] std::array<std::pair<std::size_t, double>, 4> fill(const Columns& at,
                                                                   const LieRow& row) const {
    return {{{at.left, row[0] * (1 - at.right_part)},
             {at.left + 1, row[0] * at.right_part},
             {at.blur, row[1]},
             {columns_ - 1, row[2]}}};
  }

  std::size_t unknowns_;
  std::size_t columns_;
  std::vector<double> carried_;       // W^T N^-1 [G y], unknown by unknown
  std::vector<Eigen::MatrixXd> own_;  // [G y]^T N^-1 [G y], per view of all scans
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
  const ByColumn of_columns = losses_of_columns();
  Patches patches;
  for (std::size_t s = 0; s < losses_.size(); ++s) {
    const ScanLosses& scan = losses_[s];
    const auto moved_mm = unknowns_.steps_moved_mm(s, likeliest_);
    auto& of_scan = patches.emplace_back(scan.patches.size());
    for_each_part(of_scan.size(), threads_, [&](std::size_t p) {
      of_scan[p] = scan.patches[p];
      step_again(scan.grid, scan.footprints.lie().blur_mm, moved_mm, of_scan[p]);
      level_again(scan.grid, scan.footprints.seen(), of_columns[s][p], of_scan[p]);
    });
  }
  samples_->each(threads_, [&](std::size_t s, std::size_t p, std::size_t i) {
    patches[s][p].loss[i] -= 0.5 * std::numbers::ln10 * losses_[s].patches[p].density *
                             unevenness(losses_[s].footprints.seen()[i], of_columns[s][p],
                                        losses_[s].patches[p].seams.at(i) != nullptr);
  });
  const std::vector<ScanLie> lies = lies_again(scans, patches);
  std::vector<ScanLosses> out;
  for (std::size_t s = 0; s < losses_.size(); ++s) {
    const profile::Grid& grid = losses_[s].grid;
    out.push_back({grid, ColumnFootprints(layout_, columns_, grid, lies[s]), std::move(patches[s])});
  }
  return out;
}

PageFit::ByColumn PageFit::losses_of_columns() const {
  ByColumn out(losses_.size());
  for (std::size_t s = 0; s < losses_.size(); ++s) {
    for (std::size_t p = 0; p < losses_[s].patches.size(); ++p)
      out[s].push_back(unknowns_.losses_of(s, p, likeliest_));
  }
  return out;
}

// With V = L^-1 W^T N^-1 [G y], where L L^T is the system: [G y]^T C^-1 [G y] = [G y]^T N^-1 [G y] - V^T V.
std::vector<ScanLie> PageFit::lies_again(const std::vector<PreparedScan>& scans, const Patches& by) const {
  std::vector<ScanLie> lies;
  std::vector<std::vector<SeenSlopes>> slopes;
  std::vector<std::size_t> first_view;
  std::size_t views = 0;
  for (const ScanLosses& scan : losses_) {
    lies.push_back(scan.footprints.lie());
    slopes.push_back(slopes_of(scan.footprints, unknowns_, likeliest_, threads_));
    first_view.push_back(views);
    views += scan.patches.size();
  }
  const LieNumbers numbers = number_lies(lies);
  const auto row_of = [&](std::size_t s, std::size_t p, std::size_t i) {
    LieRow row{0, 0, by[s][p].loss[i]};
    const std::vector<double>& share = losses_[s].patches[p].share;
    for (std::size_t ink = 0; ink < share.size(); ++ink) {
      if (share[ink] < kFaintestShare) continue;
      const SeenSlopes& own = slopes[s][i * share.size() + ink];
      row[0] += share[ink] * own.by_shift;
      row[1] += share[ink] * own.by_blur;
    }
    return row;
  };
  std::vector<std::vector<Products::Columns>> columns(lies.size());
  for (std::size_t s = 0; s < lies.size(); ++s) {
    for (int i = 0; i < losses_[s].grid.size; ++i) {
      const ScanLie::Knot knot = lies[s].knot(losses_[s].grid.at(i));
      columns[s].push_back(
          {numbers.first[s] + knot.left, knot.right_part, numbers.first[s] + lies[s].shift_mm.size()});
    }
  }
  Products products(unknowns_.size(), numbers.count + 1, views);
  samples_->each(threads_, [&](std::size_t s, std::size_t p, std::size_t i) {
    products.add(first_view[s] + p, columns[s][i], row_of(s, p, i), 1 / variance(s, p, i));
  });
  samples_->each_range(threads_, [&](PageSamples::Range range) {
    for (std::size_t s = 0; s < losses_.size(); ++s) {
      samples_->carry<std::tuple_size_v<LieRow>>(
          s, 0, static_cast<std::size_t>(losses_[s].grid.size), range,
          [&](std::size_t p, std::size_t i) { return row_of(s, p, i); },
          [&](std::size_t i, std::size_t unknown, const LieRow& part) {
            products.carry(columns[s][i], unknown, part);
          });
    }
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
