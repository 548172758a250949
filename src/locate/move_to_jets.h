#pragma once
// A scan moved to where the jets' pattern lies on it. Marks say where the print was to be, to a quarter of a
// column at best: its edges are whole columns, and whether they were rounded up or down is not known. The
// pattern shows the columns themselves.

#include "jets/find_pattern.h"
#include "likelihood/scene.h"
#include "page/placement.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::locate_detail {

// A sheet placed by an edge only, or by one side of the print: the pattern becomes its datum. Profiles must
// be made anew.
void place_by_jets(const Layout& layout, const jets::Pattern& pattern, page::Placement& place);

// A sheet placed by marks, and its profiles: samples keep their values and change their drum X.
void tighten_by_jets(const Layout& layout, const jets::Pattern& pattern, page::Placement& place,
                     profile::PreparedScan& scan);

// Marks and the jets' pattern say two places, `apart_mm` from each other on the drum: neither is known
// better.
void loosen(const Layout& layout, double apart_mm, page::Placement& place, profile::PreparedScan& scan);

}  // namespace scrapetrace::locate_detail
