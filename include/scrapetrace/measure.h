#pragma once
// How much ink is missing at places named beforehand, whether or not a streak would be found there.

#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/evidence.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/locate.h"

namespace scrapetrace {

struct Place {
  Interval x_drum_mm;
  std::vector<Interval> y_sheet_mm;  // empty: the whole length
  std::vector<std::string> inks;     // that count; empty: all
  bool added = false;                // look for ink on bare paper instead of missing ink
};

// One place on one scan.
struct Reading {
  bool seen = false;  // false: the scan does not show the place, and the numbers mean nothing
  double loss = 0;    // mean over the place; negative: ink added (on bare paper: density)
  double sigma = 0;   // standard deviation: the spread of boxes as wide over the rest of the scan
};

// readings[place][scan]. A place counts as seen when nine tenths of its width show the inks it asks for (or
// bare paper).
std::vector<std::vector<Reading>> measure_places(const Layout& layout, const Chart* chart,
                                                 const std::vector<ScanInput>& scans,
                                                 const std::vector<Place>& places,
                                                 const LocateOptions& options);

// What a place looks like, for people to judge for themselves.
struct PlaceView {
  std::optional<StreakCrop> crop;  // of the first scan that shows the place, else of the first one placed
  std::vector<double> x_drum_mm;   // where that scan shows the inks asked for, across the crop
  std::vector<double> loss;        // there: as in Reading
};

// One per place.
std::vector<PlaceView> view_places(const Layout& layout, const Chart* chart,
                                   const std::vector<ScanInput>& scans, const std::vector<Place>& places,
                                   const LocateOptions& options);

}  // namespace scrapetrace
