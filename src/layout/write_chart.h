#pragma once

#include <string>

#include "scrapetrace/chart.h"

namespace scrapetrace::layout {

// A chart as a file that read_chart() takes, lengths to a hundredth of a millimetre; `remark` stands above it
// as a comment, line by line.
std::string write_chart(const Chart& chart, const std::string& remark);

}  // namespace scrapetrace::layout
