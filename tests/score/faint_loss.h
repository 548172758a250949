#pragma once

#include "score/case.h"
#include "score/draw.h"

namespace scrapetrace::score {

// Loss per contact at which the case's residue has a d' drawn between kFaintest and kPlainest.
double faint_loss(const Case& drawn, Draw& draw);

inline constexpr double kFaintest = 3;
inline constexpr double kFaint = 15;
inline constexpr double kPlainest = 300;

}  // namespace scrapetrace::score
