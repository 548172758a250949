#include "diagnose/column_evidence.h"

#include "diagnose/page_fit.h"
#include "diagnose/patch_losses.h"

namespace scrapetrace::diagnose {

namespace {

// What jets show of the scans is first seen with jets that the scans' errors have bent: with one step only,
// claimed_z of weigh_boxes.h spreads up to a third more than it should where jets vary by 3 %.
constexpr int kSeenBetter = 2;

}  // namespace

std::vector<double> ColumnEvidence::information(int first, int last) const {
  return fit->information(first, last);
}

ColumnEvidence column_evidence(const Layout& layout, const geometry::ColumnMap& columns,
                               const std::vector<PreparedScan>& scans,
                               const std::vector<std::vector<InkNoise>>& noise,
                               const std::vector<Interval>& blind_mm, std::size_t asked, int threads) {
  std::vector<ScanLosses> losses;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    const profile::Grid& grid = scans[s].strips.grid;
    losses.push_back({grid, ColumnFootprints(layout, columns, grid, registered(scans[s]), threads),
                      patch_losses(layout, columns, scans[s], noise[s], blind_mm, threads)});
  }
  ColumnEvidence out{
      std::vector<double>(static_cast<std::size_t>(columns.columns()), 0.0), {}, noise, nullptr};
  auto fit = std::make_shared<PageFit>(layout, columns, std::move(losses), noise, asked, threads);
  if (!fit->solve()) return out;
  for (int time = 0; time < kSeenBetter; ++time) {
    losses = fit->seen_better(scans);
    fit.reset();  // two of them are more memory than all else that a page takes
    fit = std::make_shared<PageFit>(layout, columns, std::move(losses), noise, asked, threads);
    if (!fit->solve()) return out;
  }
  fit->weigh_by_residuals(out.noise);
  fit->make_views_independent();
  fit->free_odd_jets();
  if (!fit->solve()) return out;
  out.by_ink = fit->evidence();
  for (const auto& of_ink : out.by_ink) {
    for (std::size_t c = 0; c < out.value.size(); ++c) out.value[c] += of_ink[c];
  }
  out.fit = fit;
  return out;
}

}  // namespace scrapetrace::diagnose
