#pragma once
// What a fit of a layout found and what it could not, in words.

#include <string>

#include "scrapetrace/layout_fit.h"

namespace scrapetrace::report {

std::string fit_text(const LayoutFit& fit);

// Its keys in a few lines, for a remark above the layout's file.
std::string fit_remark(const LayoutFit& fit);

}  // namespace scrapetrace::report
