#pragma once
// Symmetries of a chart.

#include "scrapetrace/chart.h"

namespace scrapetrace::page {

// Whether the chart's patches, flipped across the sheet (`across`), along it (`along`) or both, are the same
// up to a shift: such orientations cannot be told apart by patches.
bool is_symmetric_when_turned(const Chart& chart, bool across, bool along);

}  // namespace scrapetrace::page
