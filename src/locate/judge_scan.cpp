#include "locate/judge_scan.h"

#include <algorithm>

#include "quality/pixel_issues.h"
#include "quality/placed_issues.h"
#include "quality/profile_issues.h"
#include "quality/same_state.h"

namespace scrapetrace::locate_detail {

namespace {

void add(const std::vector<quality::Issue>& issues, ScanReport& report) {
  for (const quality::Issue& issue : issues) {
    report.reasons.push_back(issue.sentence);
    if (std::find(report.issues.begin(), report.issues.end(), issue.kind) == report.issues.end())
      report.issues.push_back(issue.kind);
  }
}

}  // namespace

void judge_scan(const PageRaster& raster, const Layout& layout, AnalysedScan& scan) {
  ScanReport& report = scan.report;
  add(scan.issues, report);
  for (const auto& remark : scan.placement.remarks) report.reasons.push_back(remark);
  add(quality::placed_issues(raster, layout, scan.placement, report.finest_streak_mm), report);
  add(quality::pixel_issues(raster.pixels), report);
  add(quality::profile_issues(scan.prepared->strips, scan.prepared->views.inked), report);
  report.verdict = report.reasons.empty() ? QualityVerdict::ok : QualityVerdict::limited;
}

void judge_together(const std::vector<AnalysedScan*>& scans) {
  std::vector<quality::Across> profiles;
  for (const AnalysedScan* scan : scans)
    profiles.push_back(quality::across_drum(scan->prepared->strips, scan->prepared->views.inked));
  for (std::size_t i = 0; i < scans.size(); ++i) {
    std::vector<quality::Across> others = profiles;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
    const auto issue = quality::other_state(profiles[i], others);
    if (!issue) continue;
    add({*issue}, scans[i]->report);
    scans[i]->report.verdict = QualityVerdict::limited;
  }
}

}  // namespace scrapetrace::locate_detail
