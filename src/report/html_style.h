#pragma once
// What all our pages look like: on a desk, on a phone, in the dark and on A4.

#include <string_view>

namespace scrapetrace::report {

std::string_view common_style();

}  // namespace scrapetrace::report
