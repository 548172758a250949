#include "locate/judge_scan.h"

#include <algorithm>
#include <cmath>

#include "locate/survey.h"
#include "quality/pixel_issues.h"
#include "quality/placed_issues.h"
#include "quality/profile_issues.h"
#include "quality/same_state.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kLoose_mm = 0.25;  // standard deviation; neighbouring zones are told apart below it

std::string tenths(double mm) {
  const auto value = std::lround(10 * mm);
  return std::to_string(value / 10) + "." + std::to_string(value % 10);
}

void add(const std::vector<quality::Issue>& issues, ScanReport& report) {
  for (const quality::Issue& issue : issues) {
    report.reasons.push_back(issue.sentence);
    if (std::find(report.issues.begin(), report.issues.end(), issue.kind) == report.issues.end())
      report.issues.push_back(issue.kind);
  }
}

// Seams of carriages that stand off from each other leave lines of their own; where nothing says just where
// the print lies, a streak near one is not told from them.
bool has_steps(const Layout& layout) {
  return std::any_of(layout.carriages.begin(), layout.carriages.end(), [&](const Carriage& carriage) {
    return carriage.offset_mm != layout.carriages.front().offset_mm;
  });
}

void tell_blind_seams(const Layout& layout, const AnalysedScan& scan, ScanReport& report) {
  const double off_mm = place_play_mm(*scan.prepared);
  if (off_mm <= 0 || !has_steps(layout)) return;
  report.reasons.emplace_back(
      "within " + tenths(off_mm) +
      " mm of seams between heads no streak was looked for, because the carriages' "
      "offset_mm leave lines there and the print's place is not known better: give the "
      "chart that was printed");
}

}  // namespace

void judge_scan(const PageRaster& raster, const Layout& layout, AnalysedScan& scan, int threads) {
  ScanReport& report = scan.report;
  add(scan.issues, report);
  for (const auto& remark : scan.placement.remarks) report.reasons.push_back(remark);
  tell_blind_seams(layout, scan, report);
  if (raster.flattening_sigma_mm > kLoose_mm) {
    report.reasons.emplace_back(
        "this photo places streaks to about " + tenths(raster.flattening_sigma_mm) +
        " mm only: scan the sheet, or print a page with tags (scrapetrace page) and take that");
  }
  add(quality::placed_issues(raster, layout, scan.placement, report.finest_streak_mm), report);
  add(quality::pixel_issues(raster.pixels), report);
  add(quality::profile_issues(scan.prepared->strips, scan.prepared->views.inked, threads), report);
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
