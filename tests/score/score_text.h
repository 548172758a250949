#pragma once
// What many scored cases come to, in tables.

#include <string>

#include "score/summary.h"

namespace scrapetrace::score {

std::string score_text(const ScoreSummary& summary);

}  // namespace scrapetrace::score
