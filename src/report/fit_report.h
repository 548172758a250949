#pragma once
// What places on a machine say of its layout: the words that text, page and JSON (scrapetrace.layout_fit/1,
// docs/layout-fit.md) share.

#include <span>
#include <string>
#include <string_view>

#include "scrapetrace/report.h"

namespace scrapetrace::report {

// How many keys of how many, from how many places.
std::string fit_sentence(const LayoutFit& fit);

// A key's number as the layout file would hold it.
std::string key_value(const FittedKey& key, double value);
// What a place says: how far off it is, or why it does not count.
std::string place_words(const FittedPlace& place);
// Where the intervals come from.
std::string noise_words(const LayoutFit& fit);
// Tables and keys of a layout of which known places say nothing.
std::span<const std::string_view> keys_beyond_places();

}  // namespace scrapetrace::report
