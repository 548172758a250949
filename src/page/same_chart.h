#pragma once
// Charts that look the same another way round.

#include "scrapetrace/chart.h"

namespace scrapetrace::page {

// Whether the patches, turned over across the sheet (`across`), along it (`along`) or both, are the same
// print again, wherever it then lies on the sheet: nothing of them tells such ways round apart.
bool same_turned_over(const Chart& chart, bool across, bool along);

}  // namespace scrapetrace::page
