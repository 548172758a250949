#pragma once
// Mirrors and rotates finished pixels.

#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

// Mirrors left to right when asked, then turns clockwise by 0, 90, 180 or 270 degrees.
SimulatedScan mirrored_then_turned(SimulatedScan image, bool mirrored, int turn_deg);

}  // namespace scrapetrace::press
