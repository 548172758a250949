#pragma once
// The project's own files (TOML 1.0, docs/formats.md) into values, and a layout back. Texts in, so the
// library opens no file.
//
// `file` is the name that problems carry. Every problem is reported, each with line and column: syntax,
// unknown, missing and repeated keys, wrong types, values out of range, names that nothing defines.

#include <string>
#include <string_view>
#include <vector>

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/layout_fit.h"
#include "scrapetrace/limits.h"
#include "scrapetrace/result.h"

namespace scrapetrace::layout {

// Besides: incomplete interleave, holes between heads, heads off the drum.
Result<Layout> read_layout(std::string_view toml, std::string_view file);

// Inks are checked against `layout`'s names when it is given.
Result<Chart> read_chart(std::string_view toml, std::string_view file, const Layout* layout = nullptr);

// At least one limit must be set.
Result<Limits> read_limits(std::string_view toml, std::string_view file);

// Known places on a machine (docs/layout-fit.md).
Result<std::vector<KnownPlace>> read_places(std::string_view toml, std::string_view file);

// A layout as a file from which read_layout() makes the same one again; `remark` stands above it as a
// comment, line by line.
std::string write_layout(const Layout& layout, const std::string& remark);

}  // namespace scrapetrace::layout
