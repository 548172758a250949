#pragma once
// Base64, RFC 4648 section 4, with padding.

#include <string>
#include <string_view>

namespace scrapetrace::report {

std::string base64(std::string_view bytes);

}  // namespace scrapetrace::report
