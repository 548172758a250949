#pragma once
// Where heads meet, and what the print shows there: a layout whose carriages stand off from each other leaves
// a gap or an overlap of ink that is no finding, as long as it is as wide as the layout has it.

#include <optional>
#include <vector>

#include "geometry/machine.h"
#include "likelihood/scene.h"

namespace scrapetrace::locate_detail {

// How far the gap between two heads may be off without being a finding: each stands where the layout has it
// to within its tolerance.
double gap_tolerance_mm(const Layout& layout);

// A seam, and `reach_mm` beside it.
Interval around(const geometry::SeamEnds& ends, double reach_mm);

// Around the seams of carriages with different offsets.
std::vector<Interval> seam_steps(const geometry::Machine& machine, double reach_mm);

// Those of them where no scan shows a gap or an overlap of another width than the layout's. One that was
// enhanced shows no width, nor does one without solid patches there, which is
// believed where the print's place is known.
std::vector<Interval> explained_steps(const geometry::Machine& machine,
                                      const std::vector<const profile::PreparedScan*>& scans,
                                      double reach_mm);

// Width of the bare paper (negative: of doubled ink) that would add as much light as all solid patches show
// within `x_mm`, above a straight line between its ends. Light adds up linearly, whatever the blur. Nothing
// where no patch shows the interval.
std::optional<double> shown_gap_mm(const profile::PreparedScan& scan, Interval x_mm);

// How far that may be off for intervals of a length: by what such intervals show all over the print.
double gap_error_mm(const profile::PreparedScan& scan, double length_mm);

}  // namespace scrapetrace::locate_detail
