#pragma once
// TOML text into a tree, with every syntax error and not only the first.

#include <toml++/toml.h>

#include <cstddef>
#include <string_view>

#include "layout/problem_list.h"

namespace scrapetrace::layout {

// Files are written by hand; anything larger is not one of ours.
inline constexpr std::size_t kMostBytes = 262144;
// More levels than any format here has; keeps deep nesting from exhausting the stack.
inline constexpr int kMostDotsPerLine = 32;
inline constexpr int kMostSyntaxErrors = 20;

// The tree of whatever can be read. Syntax errors go to `problems`; their lines are left out of the tree and
// problems.has_skipped_lines() tells so.
toml::table parse_toml(std::string_view text, ProblemList& problems);

}  // namespace scrapetrace::layout
