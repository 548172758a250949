#pragma once
// Visibility of a streak at reading distance, the measure of scrapetrace/sight.h.

#include <optional>
#include <vector>

#include "visual/print_colour.h"

namespace scrapetrace::visual {

// A streak as stripes `pitch_mm` wide on the sheet. Negative loss is added ink.
struct Profile {
  std::vector<double> loss;        // fraction of the ink
  std::vector<double> added;       // neutral density added instead
  std::optional<std::size_t> ink;  // of which the loss is, index in the layout; none: all inks alike
  double pitch_mm = 0;
};

// The largest contrast over the given kinds of print, L* or CIEDE2000; 0 without any.
double contrast_of(const Layout& layout, const std::vector<Print>& prints, const Profile& profile);

}  // namespace scrapetrace::visual
