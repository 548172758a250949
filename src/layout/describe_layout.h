#pragma once
// Derives the description that `scrapetrace layout` shows.

#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::layout {

// `layout` must be one that read_layout() accepts.
LayoutDescription describe_layout(const Layout& layout);

}  // namespace scrapetrace::layout
