// What a first fit of the jets tells about the scans themselves. Two things are wrong with "losses are sums
// of columns' losses" once jets are known to a tenth of a percent:
// - Light is averaged, not ink. A sample that sees columns with losses u in the parts w has the loss
//   mean(u) + (ln 10 / 2) D var(u) to second order, mean and variance weighted by w, D the ink's density.
// - The scan lies a few micrometres off its registration, and its blur is known to a few percent only
//   (lies_again.cpp).

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
    out.push_back(
        {grid, ColumnFootprints(layout_, columns_, grid, lies[s], threads_), std::move(patches[s])});
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

}  // namespace scrapetrace::diagnose
