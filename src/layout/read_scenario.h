#pragma once
// Parses scenario files (TOML 1.0, docs/formats.md): faults of a machine, and how its print is scanned.

#include <optional>
#include <string_view>

#include "scrapetrace/causes.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/result.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::layout {

struct Scenario {
  Causes causes;
  PrintOptions print;
  ScanOptions scan;
  std::optional<CameraOptions> camera;  // a photo instead of a scan
};

// Checks names of heads, carriages, inks and surfaces against `layout`. Reports every problem with line and
// column.
Result<Scenario> read_scenario(std::string_view toml, std::string_view file, const Layout& layout);

}  // namespace scrapetrace::layout
