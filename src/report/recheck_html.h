#pragma once
// What a cleaning did, as one HTML page: the answer, what to do next, the page before and after over the
// heads, and each streak before and after.

#include <optional>
#include <string>
#include <vector>

#include "report/picture_svg.h"
#include "report/recheck_report.h"
#include "scrapetrace/provenance.h"

namespace scrapetrace::report {

// One state of a streak's place.
struct ShownPlace {
  std::optional<EncodedThumbnail> crop;
  std::vector<double> x_drum_mm;
  std::vector<double> loss;
};

struct RecheckPages {
  std::vector<std::optional<EncodedThumbnail>> before;  // one per scan, or none
  std::vector<std::optional<EncodedThumbnail>> after;
  std::vector<ShownPlace> places_before;  // one per change, or none
  std::vector<ShownPlace> places_after;
  std::optional<std::array<double, 2>> sheet_mm;
  double width_px = 860;
  Provenance provenance;
};

std::string recheck_html(const RecheckStory& story, const RecheckPages& pages);

// The page before, the page after and the heads, all to one scale across. Streaks carry the number of their
// change, counted from 1, as class s<number> and link #streak-<number>; targets link to #target-<rank> in the
// order of targets_worth_naming().
std::string recheck_picture(const RecheckStory& story, const RecheckPages& pages);

// A streak's place before and after, one above the other, and how much ink both show there.
std::string change_drawing(const Layout& layout, const StreakChange& change, std::size_t number,
                           const ShownPlace& before, const ShownPlace& after, LengthUnit unit);

}  // namespace scrapetrace::report
