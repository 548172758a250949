#pragma once
// Ways round that a print does not tell apart: what to say of them, and which of several scans' go together.

#include <vector>

#include "locate/prepare_scan.h"

namespace scrapetrace::locate_detail {

// Adds to the report a note of how the sheet was taken to lie, where not as it was scanned, and a reason with
// its remedy for what its registration leaves open: the lead edge, or whether the image is mirrored.
void tell_ways_up(ScanReport& report);

// Adds to a way's probability in the list where it is there: placements that differ in their scale only lie
// the same way up.
void add_way(const WayUp& way, std::vector<WayUp>& ways);

// One way round for each scan, taken together.
struct JointWay {
  std::vector<std::size_t> way;  // index into each scan's ways
  double probability = 1;
};

// As many as the least decided scan has ways, likeliest first; they sum to 1. Sheets of one machine in one
// state look alike, so for each of its ways every other scan takes the way whose profile across the drum
// matches best.
std::vector<JointWay> joint_ways(const std::vector<std::vector<AnalysedScan>>& scans);

}  // namespace scrapetrace::locate_detail
