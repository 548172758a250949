#pragma once
// Reports of a layout fit as text, HTML and JSON (scrapetrace.layout_fit/1, docs/layout-fit.md).

#include <span>
#include <string>
#include <string_view>

#include "report/provenance.h"
#include "scrapetrace/layout_fit.h"

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

std::string fit_text(const LayoutFit& fit);
std::string fit_json(const LayoutFit& fit, std::string_view tool_version);
std::string fit_html(const LayoutFit& fit, const Provenance& provenance);

// The comment at the top of the fitted layout.
std::string fit_remark(const LayoutFit& fit);

}  // namespace scrapetrace::report
