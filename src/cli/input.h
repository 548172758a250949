#pragma once
// Reads input files into values.

#include <string>

#include "layout/read_scenario.h"
#include "scrapetrace/limits.h"
#include "scrapetrace/read_files.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// A text file of a few megabytes at most; "-" is standard input, here and below.
Result<std::string> load_text(const std::string& name);

Result<Layout> load_layout(const std::string& path);
Result<Chart> load_chart(const std::string& path, const Layout& layout);
Result<Limits> load_limits(const std::string& path);
Result<layout::Scenario> load_scenario(const std::string& path, const Layout& layout);

}  // namespace scrapetrace::cli
