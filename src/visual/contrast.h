#pragma once
// How far a streak stands out for an eye at reading distance: the measure of scrapetrace/sight.h.

#include <optional>
#include <vector>

#include "visual/print_colour.h"

namespace scrapetrace::visual {

// What is wrong across a streak, stripe by stripe `pitch_mm` apart on the sheet. Losses below 0 are ink
// added.
struct Profile {
  std::vector<double> loss;        // of the ink
  std::vector<double> added;       // neutral density, instead
  std::optional<std::size_t> ink;  // that the loss is of, by the layout; none: of all inks alike
  double pitch_mm = 0;
};

// The largest contrast over the kinds of print given, L* or CIEDE2000; 0 without any.
double contrast_of(const Layout& layout, const std::vector<Print>& prints, const Profile& profile);

}  // namespace scrapetrace::visual
