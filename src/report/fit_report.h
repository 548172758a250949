#pragma once
// What places on a machine say of its layout: the words that text, page and JSON (scrapetrace.layout_fit/1,
// docs/layout-fit.md) share.

#include <span>
#include <string>
#include <string_view>

#include "scrapetrace/report.h"

namespace scrapetrace::report {

// How many keys of how many were fitted, from how many places.
std::string fit_sentence(const LayoutFit& fit);

// A key's number as written in the layout file.
std::string key_value(const FittedKey& key, double value);
// A place's residual, or why it was not used.
std::string place_words(const FittedPlace& place);
// The source of the intervals.
std::string noise_words(const LayoutFit& fit);
// Tables and keys of a layout that known places cannot determine.
std::span<const std::string_view> keys_beyond_places();

}  // namespace scrapetrace::report
