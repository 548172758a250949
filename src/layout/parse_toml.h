#pragma once
// Parses TOML and reports all syntax errors, not only the first.

#include <toml++/toml.h>

#include <cstddef>
#include <string_view>

#include "layout/problem_list.h"

namespace scrapetrace::layout {

// Files are written by hand; larger ones are not ours.
inline constexpr std::size_t kMostBytes = 262144;
// Above any format here; prevents stack exhaustion by deep nesting.
inline constexpr int kMostDotsPerLine = 32;
inline constexpr int kMostSyntaxErrors = 20;

// The tree of all valid lines. Syntax errors go to `problems`; their lines are skipped, as
// problems.has_skipped_lines() tells.
toml::table parse_toml(std::string_view text, ProblemList& problems);

}  // namespace scrapetrace::layout
