#pragma once
// The tables of a scenario that draw streaks: [[residue]], [[jet]], [[scratch]], [[haze]], [[line]].

#include "layout/table_reader.h"
#include "scrapetrace/causes.h"

namespace scrapetrace::layout {

Causes read_causes(TableReader& root, const Layout& layout, ProblemList& problems);

}  // namespace scrapetrace::layout
