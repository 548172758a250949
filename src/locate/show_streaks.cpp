#include "locate/show_streaks.h"

#include <algorithm>
#include <cmath>

#include "locate/make_profiles.h"
#include "locate/make_thumbnail.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kLeastHalf_mm = 7.0;  // of the sheet to each side of a streak's middle
constexpr double kAround = 1.5;        // streak widths to each side, for wide ones
constexpr int kWidest_px = 480;
constexpr int kLength_px = 360;

std::optional<StreakCrop> crop_of(const Streak& streak, const std::vector<ScanInput>& inputs,
                                  const std::vector<std::optional<page::Placement>>& placements) {
  for (const std::size_t scan : streak.scans) {
    if (!placements[scan] || !inputs[scan].page.ok()) continue;
    const page::Placement& placement = *placements[scan];
    const auto& sheet = placement.chart.sheet_mm;
    const double half = std::max(kLeastHalf_mm, kAround * streak.width_mm);
    const Interval across{streak.x_sheet_mm - half, streak.x_sheet_mm + half};
    const double resolved = 2 * half * std::abs(placement.map.ux);
    const int width = std::clamp(static_cast<int>(std::lround(resolved)), 1, kWidest_px);
    return StreakCrop{scan,
                      make_crop(*inputs[scan].page, placement, across, {0, sheet[1]}, width, kLength_px)};
  }
  return std::nullopt;
}

}  // namespace

std::vector<StreakEvidence> show_streaks(const diagnose::PageContext& page,
                                         const std::vector<streak::Region>& regions,
                                         const std::vector<ExplainedRegion>& explained,
                                         const std::vector<Streak>& streaks,
                                         const std::vector<ScanInput>& inputs,
                                         const std::vector<std::optional<page::Placement>>& placements) {
  std::vector<StreakEvidence> out(streaks.size());
  for (std::size_t s = 0; s < streaks.size(); ++s) out[s].crop = crop_of(streaks[s], inputs, placements);
  for (const ExplainedRegion& group : explained) {
    const auto profiles = make_profiles(page, regions, group.region, group.explanations);
    for (const std::size_t s : group.streaks) out[s].profiles = profiles;
  }
  return out;
}

}  // namespace scrapetrace::locate_detail
