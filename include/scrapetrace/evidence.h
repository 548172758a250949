#pragma once
// What a streak looks like on the scans and how well its explanation fits, for people to judge for
// themselves.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/page.h"

namespace scrapetrace {

// One ink (or bare paper) of one scan across a streak: the mean along the sheet over the strips that show it.
// Signals are light over that of the bare paper beside them, 1 being paper; all vectors are of one length.
struct Profile {
  std::size_t scan = 0;  // index into Findings::scans
  std::string ink;       // empty: bare paper
  std::vector<double> x_drum_mm;
  std::vector<double> measured;
  std::vector<double>
      clean;  // the ink around the streak carried across it: what a print without it would show
  std::vector<double> fitted;  // with every cause found there; empty when no model is claimed to fit
};

// The print around a streak. Across, all that the scan resolved; along, the whole sheet, much reduced.
struct StreakCrop {
  std::size_t scan = 0;
  Thumbnail picture;
};

struct StreakEvidence {
  std::vector<Profile> profiles;   // by scan, then in the layout's order of inks, bare paper last
  std::optional<StreakCrop> crop;  // of the first scan that shows the streak
};

}  // namespace scrapetrace
