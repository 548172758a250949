#pragma once
// Layout and chart files (TOML 1.0, docs/formats.md) into values. Texts in, so the library opens no file.

#include <string_view>

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/result.h"

namespace scrapetrace::layout {

// `file` is the name that problems carry. Every problem is reported, each with line and column: syntax,
// unknown, missing and repeated keys, wrong types, values out of range, names that nothing defines,
// incomplete interleave, holes between heads, heads off the drum.
Result<Layout> read_layout(std::string_view toml, std::string_view file);

// Inks are checked against `layout`'s names when it is given.
Result<Chart> read_chart(std::string_view toml, std::string_view file, const Layout* layout = nullptr);

}  // namespace scrapetrace::layout
