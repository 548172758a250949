#pragma once
// Words for two targets over the same part of the drum.

#include <string>

#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::report {

// "1 right faceplate"
std::string short_place(const Layout& layout, std::size_t head, std::size_t zone);

// "no, same carriage", "yes, the carriages travel opposite ways", ...
std::string tell_apart_words(const Layout& layout, const ZoneOverlap& overlap);

}  // namespace scrapetrace::report
