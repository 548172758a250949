#pragma once
// The CSS that all pages share, for desktop, phone, dark mode and A4.

#include <string_view>

namespace scrapetrace::report {

std::string_view common_style();

}  // namespace scrapetrace::report
