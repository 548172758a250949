#pragma once
// Word wrap for terminals.

#include <string>
#include <string_view>

namespace scrapetrace::report {

inline constexpr std::size_t kTextWidth = 100;

// `text` in lines of at most `width` columns, broken at spaces. The first line starts with `first`, the
// others are indented as much. A longer word is cut. Ends with a newline.
std::string wrap(std::string_view first, std::string_view text, std::size_t width = kTextWidth);

}  // namespace scrapetrace::report
