#include "locate/judge_scan.h"

#include <algorithm>
#include <cmath>

#include "jets/same_jets.h"
#include "locate/survey.h"
#include "quality/chart_issues.h"
#include "quality/pixel_issues.h"
#include "quality/placed_issues.h"
#include "quality/profile_issues.h"
#include "quality/same_state.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kAlike = 0.3;      // of the correlation that two scans of one machine have
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

// Without a chart, areas are as they were found.
bool rests_on_chart(Datum datum) {
  return datum == Datum::patch_edges || datum == Datum::tags;
}

// Seams of carriages that stand off from each other leave lines of their own; where nothing says just where
// the print lies, a streak near one is not told from them.
bool has_steps(const Layout& layout) {
  return std::any_of(layout.carriages.begin(), layout.carriages.end(), [&](const Carriage& carriage) {
    return carriage.offset_mm != layout.carriages.front().offset_mm;
  });
}

void tell_blind_seams(const Layout& layout, const AnalysedScan& scan, ScanReport& report) {
  const double reach_mm = hidden_beside_seams_mm(*scan.prepared);
  if (reach_mm <= 0 || !has_steps(layout)) return;
  const std::string blind = "within " + tenths(reach_mm) +
                            " mm of seams between heads no streak was looked for, because the carriages' "
                            "offset_mm leave lines there and ";
  const char* why = "such a scan makes them wider: scan again as said above";
  if (!shows_solids(*scan.prepared))
    why = "tints do not show how wide they are: print solid areas";
  else if (place_play_mm(*scan.prepared) > 0)
    why = rests_on_chart(scan.placement.datum)
              ? "the heads' place is not known better: put right what is said above"
              : "the print's place is not known better: give the chart that was printed";
  report.reasons.push_back(blind + why);
}

// Halos and coarse coding look like faint streaks; so does what is taken for a patch and is none, and what a
// blur leaves whose shape is not known.
bool light_adds_up(const ScanReport& report, bool chart_doubted) {
  return !chart_doubted && std::none_of(report.issues.begin(), report.issues.end(), [](ScanIssue issue) {
    return issue == ScanIssue::enhanced || issue == ScanIssue::compressed || issue == ScanIssue::out_of_focus;
  });
}

bool clipped(const ScanReport& report) {
  return std::find(report.issues.begin(), report.issues.end(), ScanIssue::clipped) != report.issues.end();
}

void limit(const quality::Issue& issue, AnalysedScan& scan) {
  add({issue}, scan.report);
  scan.report.verdict = QualityVerdict::limited;
}

quality::Issue other_jets() {
  return {
      ScanIssue::other_sheet,
      "the fine pattern that jets leave in a print is not that of the other scans, so that another machine "
      "printed it, or the same one with other jets: give together only sheets of one machine in one state, "
      "and scan this one apart"};
}

// Whether two scans show different jets; nothing where that cannot be told.
std::optional<bool> differ(const geometry::Machine& machine, const AnalysedScan& one,
                           const AnalysedScan& other) {
  const auto alike = jets::jets_alike(machine, *one.prepared, *other.prepared);
  if (!alike) return std::nullopt;
  return *alike < kAlike;
}

// Those whose jets are not the first one's; the first one itself where it is alone with its own.
std::vector<AnalysedScan*> of_other_jets(const Layout& layout, const std::vector<AnalysedScan*>& scans) {
  std::vector<AnalysedScan*> out;
  const geometry::Machine machine(layout);
  bool alone = true;
  for (std::size_t i = 1; i < scans.size(); ++i) {
    const auto other = differ(machine, *scans.front(), *scans[i]);
    if (other.value_or(false)) out.push_back(scans[i]);
    if (!other.value_or(true)) alone = false;
  }
  if (out.size() > 1 && alone) return {scans.front()};
  return out;
}

}  // namespace

void judge_scan(const PageRaster& raster, const Layout& layout, AnalysedScan& scan, int threads) {
  ScanReport& report = scan.report;
  add(scan.issues, report);
  for (const auto& remark : scan.placement.remarks) report.reasons.push_back(remark);
  if (raster.flattening_sigma_mm > kLoose_mm) {
    report.reasons.emplace_back(
        "this photo places streaks to about " + tenths(raster.flattening_sigma_mm) +
        " mm only: scan the sheet, or print a page with tags (scrapetrace page) and take that");
  }
  add(quality::placed_issues(raster, layout, scan.placement, report.finest_streak_mm, threads), report);
  add(quality::pixel_issues(raster.pixels), report);
  std::vector<std::string> doubts;
  if (rests_on_chart(scan.placement.datum))
    doubts = quality::chart_doubts(scan.prepared->strips, scan.placement.chart, layout, raster.grey, threads);
  report.reasons.insert(report.reasons.end(), doubts.begin(), doubts.end());
  // What clipping leaves of an ink has a rhythm of its own.
  // Nor is what is left of a pass beside its place moire: it has the rhythm of the jets.
  if (!clipped(report) && !scan.prepared->views.any_pass_beside())
    add(quality::profile_issues(scan.prepared->strips, scan.prepared->views.inked, layout, threads), report);
  scan.prepared->light_adds_up = light_adds_up(report, !doubts.empty());
  tell_blind_seams(layout, scan, report);
  report.verdict = report.reasons.empty() ? QualityVerdict::ok : QualityVerdict::limited;
}

void judge_together(const Layout& layout, const std::vector<AnalysedScan*>& scans,
                    const std::vector<AnalysedScan*>& before) {
  std::vector<quality::Across> profiles;
  for (const AnalysedScan* scan : scans)
    profiles.push_back(quality::across_drum(scan->prepared->strips, scan->prepared->views.inked));
  for (std::size_t i = 0; i < scans.size(); ++i) {
    std::vector<quality::Across> others = profiles;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
    if (const auto issue = quality::other_state(profiles[i], others)) limit(*issue, *scans[i]);
  }
  for (AnalysedScan* scan : of_other_jets(layout, scans)) limit(other_jets(), *scan);
  if (scans.empty()) return;
  const geometry::Machine machine(layout);
  for (AnalysedScan* scan : before) {
    if (differ(machine, *scans.front(), *scan).value_or(false)) limit(other_jets(), *scan);
  }
}

}  // namespace scrapetrace::locate_detail
