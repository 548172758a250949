#pragma once
// What many scored cases come to, in four curves.

#include <string>

#include "score/summary.h"

namespace scrapetrace::score {

// Right first targets by machine, reliability, detection, position; each beside what is possible.
std::string score_svg(const ScoreSummary& summary);

}  // namespace scrapetrace::score
