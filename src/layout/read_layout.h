#pragma once
// Parses layout and chart files (TOML 1.0, docs/formats.md). Takes text, so the library opens no file.

#include <string_view>

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/result.h"

namespace scrapetrace::layout {

// `file` is the name in messages. Reports every problem with line and column: syntax, unknown, missing and
// repeated keys, types, ranges, undefined names, incomplete interleave, holes between heads, heads off the
// drum.
Result<Layout> read_layout(std::string_view toml, std::string_view file);

// Checks ink names against `layout` when given.
Result<Chart> read_chart(std::string_view toml, std::string_view file, const Layout* layout = nullptr);

}  // namespace scrapetrace::layout
