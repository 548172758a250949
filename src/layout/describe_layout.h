#pragma once
// What `scrapetrace layout` shows about a layout, as values.

#include "scrapetrace/layout.h"
#include "scrapetrace/layout_description.h"

namespace scrapetrace::layout {

// `layout` as read_layout() accepts it.
LayoutDescription describe_layout(const Layout& layout);

}  // namespace scrapetrace::layout
