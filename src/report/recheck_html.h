#pragma once
// The result of a cleaning as one HTML page: answer, next step, page before and after with the heads, and
// each streak before and after.

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
  std::vector<std::optional<EncodedThumbnail>> before;  // one per scan, or empty
  std::vector<std::optional<EncodedThumbnail>> after;
  std::vector<ShownPlace> places_before;  // one per change, or empty
  std::vector<ShownPlace> places_after;
  std::optional<std::array<double, 2>> sheet_mm;
  double width_px = 860;
  Provenance provenance;
};

std::string recheck_html(const RecheckStory& story, const RecheckPages& pages);

// Page before, page after and heads at one scale. Streaks have the number of their change from 1: class
// s<number>, link #streak-<number>. Targets link to #target-<rank> in the order of targets_worth_naming().
std::string recheck_picture(const RecheckStory& story, const RecheckPages& pages);

// A streak's place before and after, one above the other, with their ink profiles.
std::string change_drawing(const Layout& layout, const StreakChange& change, std::size_t number,
                           const ShownPlace& before, const ShownPlace& after, LengthUnit unit);

}  // namespace scrapetrace::report
