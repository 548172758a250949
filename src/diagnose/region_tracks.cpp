#include "diagnose/region_tracks.h"

#include <algorithm>
#include <cmath>

#include "likelihood/pool.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kPlain = 10;     // standard deviations, of the sheet that shows a streak and of one without
constexpr double kAbsent = 0.25;  // of the other's loss: less is not the same streak fading

streak::Track track_of(const profile::PreparedScan& scan, const streak::Region& region) {
  streak::Track out = streak::track_streak(scan.strips, scan.views, region.x_mm, -1, !region.ink_lost);
  if (!region.ink_lost) out.strips = all_strips(scan).strips;
  return out;
}

bool lacks(const streak::Track& track, double loss) {
  if (track.mean_loss == 0 || track.z == 0) return false;
  const double sigma = track.mean_loss / track.z;
  return track.mean_loss < kAbsent * loss && kPlain * sigma < loss;
}

}  // namespace

std::vector<streak::Track> region_tracks(const std::vector<profile::PreparedScan>& scans,
                                         const streak::Region& region, bool same_sheet) {
  std::vector<streak::Track> out;
  for (const profile::PreparedScan& scan : scans) out.push_back(track_of(scan, region));
  if (!region.ink_lost || same_sheet) return out;
  double plain = 0;
  for (const streak::Track& track : out) {
    if (track.z > kPlain) plain = std::max(plain, track.mean_loss);
  }
  for (streak::Track& track : out) {
    if (lacks(track, plain)) track.strips.clear(), track.y_mm.clear();
  }
  return out;
}

}  // namespace scrapetrace::diagnose
