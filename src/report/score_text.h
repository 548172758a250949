#pragma once
// What many scored cases come to, in tables.

#include <string>

#include "scrapetrace/score_summary.h"

namespace scrapetrace::report {

std::string score_text(const ScoreSummary& summary);

}  // namespace scrapetrace::report
