#include "locate/show_streaks.h"

#include "locate/make_profiles.h"
#include "locate/make_thumbnail.h"

namespace scrapetrace::locate_detail {

namespace {

std::optional<StreakCrop> crop_of(const Streak& streak, const std::vector<ScanInput>& inputs,
                                  const std::vector<std::optional<page::Placement>>& placements) {
  for (const std::size_t scan : streak.scans) {
    if (!placements[scan] || !inputs[scan].page.ok()) continue;
    return StreakCrop{scan,
                      crop_around(*inputs[scan].page, *placements[scan], streak.x_sheet_mm, streak.width_mm)};
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
