#pragma once
// How much ink is missing at places named beforehand, whether or not a streak would be found there.

#include <string>
#include <vector>

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

}  // namespace scrapetrace
