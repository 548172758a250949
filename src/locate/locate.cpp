#include "scrapetrace/locate.h"

#include <algorithm>

#include "diagnose/diagnose_region.h"
#include "diagnose/rank_targets.h"
#include "diagnose/unchecked.h"
#include "geometry/zones.h"
#include "locate/judge_scan.h"
#include "locate/make_streaks.h"
#include "locate/make_thumbnail.h"
#include "locate/merge_ways.h"
#include "locate/prepare_scan.h"
#include "locate/show_streaks.h"
#include "locate/ways_up.h"

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

// Puts streaks left to right on the sheet and numbers them from 1; the order of ties is that of discovery.
// Returns the new index of each.
std::vector<std::size_t> number(std::vector<Streak>& streaks) {
  std::vector<std::size_t> order(streaks.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return streaks[a].x_sheet_mm < streaks[b].x_sheet_mm;
  });
  std::vector<Streak> sorted;
  std::vector<std::size_t> place_of(streaks.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    place_of[order[i]] = i;
    sorted.push_back(std::move(streaks[order[i]]));
    sorted.back().id = i + 1;
  }
  streaks = std::move(sorted);
  return place_of;
}

// The scans of a job after preparation.
struct PreparedJob {
  std::vector<diagnose::PreparedScan> scans;               // those that could be analysed
  std::vector<std::optional<page::Placement>> placements;  // per input
};

PreparedJob prepare_job(const Layout& layout, std::vector<AnalysedScan> analysed,
                        const std::vector<ScanInput>& inputs, const LocateOptions& options,
                        LocateResult& result) {
  PreparedJob job;
  for (std::size_t i = 0; i < analysed.size(); ++i) {
    AnalysedScan& scan = analysed[i];
    result.thumbnails.emplace_back();
    job.placements.emplace_back();
    if (scan.prepared) {
      if (options.thumbnails)
        result.thumbnails.back() = locate_detail::make_thumbnail(*inputs[i].page, scan.placement);
      for (Streak& s : locate_detail::scanner_streaks(layout, scan, i))
        result.findings.streaks.push_back(std::move(s));
      job.scans.push_back(std::move(*scan.prepared));
      job.placements.back() = std::move(scan.placement);
    }
    result.findings.scans.push_back(std::move(scan.report));
  }
  return job;
}

// Explains every region; its streaks go to the end of the findings.
std::vector<locate_detail::ExplainedRegion> explain_regions(const diagnose::PageContext& page,
                                                            const std::vector<streak::Region>& regions,
                                                            const diagnose::DiagnoseOptions& options,
                                                            Findings& findings) {
  std::vector<locate_detail::ExplainedRegion> out;
  for (std::size_t r = 0; r < regions.size(); ++r) {
    locate_detail::ExplainedRegion explained{r, diagnose::diagnose_region(page, regions, r, options), {}};
    for (const auto& explanation : explained.explanations) {
      explained.streaks.push_back(findings.streaks.size());
      findings.streaks.push_back(locate_detail::make_streak(page.layout, page.scans, explanation));
      findings.streaks.back().targets =
          diagnose::targets_of(page.layout, page.zones, explanation, options.priors.elsewhere);
    }
    out.push_back(std::move(explained));
  }
  return out;
}

std::vector<Target> targets_of(const diagnose::PageContext& page,
                               const std::vector<locate_detail::ExplainedRegion>& explained,
                               const diagnose::DiagnoseOptions& options) {
  std::vector<diagnose::Explanation> explanations;
  std::vector<std::size_t> ids;
  for (const auto& group : explained) {
    explanations.insert(explanations.end(), group.explanations.begin(), group.explanations.end());
    for (const std::size_t streak : group.streaks) ids.push_back(streak + 1);
  }
  double registration_mm = 0;
  for (const auto& scan : page.scans) registration_mm = std::max(registration_mm, scan.x_sigma_mm);
  return diagnose::rank_targets(page.layout, page.zones, explanations, ids, options.priors.elsewhere,
                                registration_mm);
}

// The answer when every sheet lies as its analysis has it.
LocateResult locate_lying(const Layout& layout, std::vector<AnalysedScan> analysed,
                          const std::vector<ScanInput>& inputs, const LocateOptions& options) {
  std::vector<AnalysedScan*> together;
  for (AnalysedScan& scan : analysed) {
    if (scan.prepared) together.push_back(&scan);
  }
  locate_detail::judge_together(together);
  LocateResult result;
  Findings& findings = result.findings;
  findings.false_alarm_rate = options.false_alarm_rate;
  const PreparedJob job = prepare_job(layout, std::move(analysed), inputs, options, result);
  const auto& scans = job.scans;

  const geometry::ColumnMap columns(layout);
  const auto zones = geometry::target_zones(layout);
  diagnose::PageContext page{layout, columns, zones, scans, {}};
  for (const auto& scan : scans) page.noise.push_back(diagnose::measure_ink_noise(layout, columns, scan));
  const auto regions = regions_of(layout, columns, scans, options.false_alarm_rate);
  const diagnose::DiagnoseOptions diagnose_options;
  auto explained = explain_regions(page, regions, diagnose_options, findings);
  const auto place_of = number(findings.streaks);
  for (auto& group : explained) {
    for (std::size_t& streak : group.streaks) streak = place_of[streak];
  }
  findings.targets = targets_of(page, explained, diagnose_options);
  findings.unchecked = diagnose::find_unchecked(layout, zones, scans);
  if (options.evidence) {
    result.evidence =
        locate_detail::show_streaks(page, regions, explained, findings.streaks, inputs, job.placements);
  }
  return result;
}

}  // namespace

LocateResult locate(const Layout& layout, const Chart* chart, const std::vector<ScanInput>& inputs,
                    const LocateOptions& options) {
  std::vector<std::vector<AnalysedScan>> ways;
  for (std::size_t i = 0; i < inputs.size(); ++i)
    ways.push_back(locate_detail::prepare_ways(layout, chart, inputs[i], i, options));
  const auto joint = locate_detail::joint_ways(ways);
  std::vector<locate_detail::WeighedAnswer> answers;
  for (std::size_t k = 0; k < joint.size(); ++k) {
    std::vector<AnalysedScan> scans;
    std::vector<page::Placement> placements;
    for (std::size_t i = 0; i < ways.size(); ++i) {
      AnalysedScan& scan = ways[i][joint[k].way[i]];
      placements.push_back(scan.placement);
      // Each way of a scan serves one joint way, unless the scan has fewer of them than another.
      scans.push_back(k + 1 == joint.size() ? std::move(scan) : scan);
    }
    answers.push_back({locate_lying(layout, std::move(scans), inputs, options), joint[k].probability,
                       std::move(placements)});
  }
  return locate_detail::merge_ways(std::move(answers));
}

}  // namespace scrapetrace
