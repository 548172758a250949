#pragma once
// The colour of a print from which ink is missing.

#include <cstddef>
#include <vector>

#include "scrapetrace/layout.h"
#include "visual/cielab.h"

namespace scrapetrace::visual {

// A kind of print.
struct Print {
  std::vector<std::size_t> inks;  // of the layout
  double coverage = 1;
};

// `kept` is what is left of each of the print's inks, 1: all; `added` is a neutral density over everything.
// Murray-Davies over paper: (1 - coverage + coverage 10^-density) 10^-added. Colours are relative to the
// paper, and the scan's linear R, G, B are taken for sRGB's.
Lab colour_of(const Layout& layout, const Print& print, const std::vector<double>& kept, double added);

}  // namespace scrapetrace::visual
