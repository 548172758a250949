#pragma once
// Ways round that a print does not tell apart: what to say of them, and which of several scans' go together.

#include <vector>

#include "locate/prepare_scan.h"

namespace scrapetrace::locate_detail {

// Adds to the report what its registration leaves open: a reason with its remedy when the lead edge may lie
// at two sides, a note when only mirroring is in doubt.
void tell_ways_up(ScanReport& report);

// One way round for each scan, taken together.
struct JointWay {
  std::vector<std::size_t> way;  // index into each scan's ways
  double probability = 1;
};

// As many as the least decided scan has ways; they sum to 1. Sheets of one machine in one state look alike,
// so for each of its ways every other scan takes the way whose profile across the drum matches best.
std::vector<JointWay> joint_ways(const std::vector<std::vector<AnalysedScan>>& scans);

}  // namespace scrapetrace::locate_detail
