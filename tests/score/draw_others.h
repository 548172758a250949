#pragma once

#include "score/case.h"
#include "score/draw.h"

namespace scrapetrace::score {

// The other causes: up to two beside residue, one or two on a clean page, one dead jet alone.
void draw_others(Draw& draw, Case& out);

}  // namespace scrapetrace::score
