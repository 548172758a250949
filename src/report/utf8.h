#pragma once
// Well-formed UTF-8, RFC 3629 section 4.

#include <cstddef>
#include <string_view>

namespace scrapetrace::report {

// Length of the well-formed character at the start of a non-empty text; 0: not well-formed.
std::size_t utf8_length(std::string_view text);

}  // namespace scrapetrace::report
