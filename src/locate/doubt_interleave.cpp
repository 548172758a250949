#include "locate/doubt_interleave.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "base/intervals.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kOverlap = 0.2;      // of the narrower streak: ends that touch are fitted that badly
constexpr double kLeftOfIt = 0.2;     // of a scratch's probability; two in one place are rare
constexpr double kTravelled = 0.5;    // of a carriage's travel that shows at least
constexpr double kStrongLoss = 0.08;  // a person sees it in every ink, common practice, no source

Interval across(const Streak& streak) {
  return {streak.x_sheet_mm - 0.5 * streak.width_mm, streak.x_sheet_mm + 0.5 * streak.width_mm};
}

bool overlap_across(const Streak& a, const Streak& b) {
  const Interval x = across(a);
  const Interval y = across(b);
  const double common_mm = std::min(x.to_mm, y.to_mm) - std::max(x.from_mm, y.from_mm);
  return common_mm > kOverlap * std::min(a.width_mm, b.width_mm);
}

bool overlap_along(const Streak& a, const Streak& b) {
  return std::any_of(a.y_sheet_mm.begin(), a.y_sheet_mm.end(), [&](const Interval& x) {
    return std::any_of(b.y_sheet_mm.begin(), b.y_sheet_mm.end(),
                       [&](const Interval& y) { return meet(x, y); });
  });
}

bool is_scratch(const Streak& streak) {
  return streak.likeliest() == Cause::drum_scratch;
}

std::size_t inks_shown(const std::vector<profile::PreparedScan>& scans) {
  std::set<int> inks;
  for (const auto& scan : scans) {
    for (const auto& view : scan.views.inked) inks.insert(view.ink);
  }
  return inks.size();
}

// A contact draws a streak as wide as its carriage travels and more; lines at seams are narrower.
double least_width_mm(const Layout& layout) {
  const auto [low, high] =
      std::minmax_element(layout.interleave.shift_px.begin(), layout.interleave.shift_px.end());
  return kTravelled * (*high - *low) * layout.px_mm() * layout.transfer.scale_cross;
}

bool fits_nothing(const Streak& streak, std::size_t inks, double least_mm) {
  return streak.width_mm >= least_mm && streak.likeliest() == Cause::unknown && streak.loss >= kStrongLoss &&
         inks > 1 && streak.inks.size() >= inks;
}

void doubt_scratch(Streak& streak) {
  double& scratch = streak.causes[static_cast<std::size_t>(Cause::drum_scratch)];
  streak.causes[static_cast<std::size_t>(Cause::unknown)] += (1 - kLeftOfIt) * scratch;
  scratch *= kLeftOfIt;
  streak.beyond_layout = true;
}

}  // namespace

void doubt_interleave(const Layout& layout, const std::vector<profile::PreparedScan>& scans,
                      Findings& findings) {
  auto& streaks = findings.streaks;
  std::set<std::size_t> doubted;
  for (std::size_t i = 0; i < streaks.size(); ++i) {
    for (std::size_t j = i + 1; j < streaks.size(); ++j) {
      if (is_scratch(streaks[i]) && is_scratch(streaks[j]) && overlap_across(streaks[i], streaks[j]) &&
          overlap_along(streaks[i], streaks[j]))
        doubted.insert({i, j});
    }
  }
  for (const std::size_t i : doubted) doubt_scratch(streaks[i]);
  const std::size_t inks = inks_shown(scans);
  const double least_mm = least_width_mm(layout);
  for (Streak& streak : streaks)
    streak.beyond_layout = streak.beyond_layout || fits_nothing(streak, inks, least_mm);
}

}  // namespace scrapetrace::locate_detail
