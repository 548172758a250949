#pragma once

#include "score/case.h"
#include "score/draw.h"

namespace scrapetrace::score {

// The other causes of a case, as its kind asks: none to two beside residue, one or two on a clean page, one
// dead jet on a page of its own.
void draw_others(Draw& draw, Case& out);

}  // namespace scrapetrace::score
