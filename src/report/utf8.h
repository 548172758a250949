#pragma once
// Well-formed UTF-8, RFC 3629 section 4.

#include <cstddef>
#include <string_view>

namespace scrapetrace::report {

// Bytes of the well-formed character at the front of a text that is not empty; 0 when there is none.
std::size_t utf8_length(std::string_view text);

}  // namespace scrapetrace::report
