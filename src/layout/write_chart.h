#pragma once

#include <string>

#include "scrapetrace/chart.h"

namespace scrapetrace::layout {

// Writes a chart for read_chart(), lengths to 0.01 mm; `remark` becomes a comment at the top.
std::string write_chart(const Chart& chart, const std::string& remark);

}  // namespace scrapetrace::layout
