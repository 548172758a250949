#pragma once
// The colour of a print with missing ink.

#include <cstddef>
#include <vector>

#include "scrapetrace/layout.h"
#include "visual/cielab.h"

namespace scrapetrace::visual {

// A kind of print.
struct Print {
  std::vector<std::size_t> inks;  // indices in the layout
  double coverage = 1;
};

// `kept` is the remaining fraction of each of the print's inks; `added` is a neutral density over all.
// Murray-Davies over paper: (1 - coverage + coverage 10^-density) 10^-added. Colours are relative to paper;
// the scan's linear R, G, B are taken as sRGB.
Lab colour_of(const Layout& layout, const Print& print, const std::vector<double>& kept, double added);

}  // namespace scrapetrace::visual
