#include "scrapetrace/locate.h"

#include <algorithm>

#include "diagnose/diagnose_region.h"
#include "diagnose/rank_targets.h"
#include "diagnose/unchecked.h"
#include "geometry/zones.h"
#include "locate/make_streaks.h"
#include "locate/make_thumbnail.h"
#include "locate/prepare_scan.h"

namespace scrapetrace {

namespace {

using locate_detail::AnalysedScan;

// Where columns of carriages with different offsets meet: a gap or an overlap of ink that the layout
// explains.
std::vector<Interval> seam_steps(const Layout& layout, const geometry::ColumnMap& columns, double blur_mm) {
  std::vector<Interval> steps;
  for (const auto& seam : columns.seams()) {
    const double left = layout.carriages[layout.heads[seam.left_head].carriage].offset_mm;
    const double right = layout.carriages[layout.heads[seam.right_head].carriage].offset_mm;
    if (left == right) continue;
    const double at = (seam.seam + 1) * layout.px_mm();
    steps.push_back({at + std::min(left, right) - 3 * blur_mm, at + std::max(left, right) + 3 * blur_mm});
  }
  return steps;
}

std::vector<streak::Region> regions_of(const Layout& layout, const geometry::ColumnMap& columns,
                                       const std::vector<diagnose::PreparedScan>& scans,
                                       double false_alarm_rate) {
  streak::RegionOptions options;
  options.false_alarm_rate = false_alarm_rate;
  std::vector<streak::Region> all;
  for (const auto& scan : scans) {
    const auto found =
        streak::find_regions(scan.strips, scan.views,
                             seam_steps(layout, columns, scan.blur_px * scan.strips.grid.pitch_mm), options);
    all.insert(all.end(), found.begin(), found.end());
  }
  return streak::merge_regions(std::move(all), options.merge_gap_mm);
}

// Streaks left to right on the sheet, numbered from 1; the order of ties is that of discovery.
void number(std::vector<Streak>& streaks, std::vector<std::size_t>& place_of) {
  std::vector<std::size_t> order(streaks.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return streaks[a].x_sheet_mm < streaks[b].x_sheet_mm;
  });
  std::vector<Streak> sorted;
  place_of.assign(streaks.size(), 0);
  for (std::size_t i = 0; i < order.size(); ++i) {
    place_of[order[i]] = i + 1;
    sorted.push_back(std::move(streaks[order[i]]));
    sorted.back().id = i + 1;
  }
  streaks = std::move(sorted);
}

}  // namespace

LocateResult locate(const Layout& layout, const Chart* chart, const std::vector<ScanInput>& inputs,
                    const LocateOptions& options) {
  LocateResult result;
  Findings& findings = result.findings;
  findings.false_alarm_rate = options.false_alarm_rate;
  std::vector<diagnose::PreparedScan> scans;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    AnalysedScan scan = locate_detail::prepare_scan(layout, chart, inputs[i], i, options);
    result.thumbnails.emplace_back();
    if (scan.prepared) {
      if (options.thumbnails)
        result.thumbnails.back() = locate_detail::make_thumbnail(*inputs[i].page, scan.placement);
      for (Streak& s : locate_detail::scanner_streaks(layout, scan, i))
        findings.streaks.push_back(std::move(s));
      scans.push_back(std::move(*scan.prepared));
    }
    findings.scans.push_back(std::move(scan.report));
  }

  const geometry::ColumnMap columns(layout);
  const auto zones = geometry::target_zones(layout);
  diagnose::PageContext page{layout, columns, zones, scans, {}};
  for (const auto& scan : scans) page.noise.push_back(diagnose::measure_ink_noise(layout, columns, scan));
  const diagnose::DiagnoseOptions diagnose_options;
  std::vector<diagnose::Explanation> explanations;
  std::vector<std::size_t> ids;
  const auto regions = regions_of(layout, columns, scans, options.false_alarm_rate);
  for (std::size_t r = 0; r < regions.size(); ++r) {
    for (auto& explanation : diagnose::diagnose_region(page, regions, r, diagnose_options)) {
      ids.push_back(findings.streaks.size());
      findings.streaks.push_back(locate_detail::make_streak(layout, scans, explanation));
      findings.streaks.back().targets =
          diagnose::targets_of(layout, zones, explanation, diagnose_options.priors.elsewhere);
      explanations.push_back(std::move(explanation));
    }
  }
  std::vector<std::size_t> place_of;
  number(findings.streaks, place_of);
  for (std::size_t& id : ids) id = place_of[id];
  double registration_mm = 0;
  for (const auto& scan : scans) registration_mm = std::max(registration_mm, scan.x_sigma_mm);
  findings.targets = diagnose::rank_targets(layout, zones, explanations, ids,
                                            diagnose_options.priors.elsewhere, registration_mm);
  findings.unchecked = diagnose::find_unchecked(layout, zones, scans);
  return result;
}

}  // namespace scrapetrace
