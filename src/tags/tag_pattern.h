#pragma once
// What a fiducial tag looks like. The family is tag36h11 of the AprilTag system (Olson 2011; Wang and Olson
// 2016), free to use: 6 by 6 cells of code inside a black border one cell wide. A white border of at least
// one cell must lie around it.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::tags {

inline constexpr int kCells = 8;  // across, black border included
int count();                      // ids are 0 to count() - 1

// Black cells of an upright tag: [row from the top][column from the left]. Nothing for an id beyond the
// family.
using Pattern = std::array<std::array<bool, kCells>, kCells>;
std::optional<Pattern> pattern_of(int id);

// Black rectangles that make up a mark on the sheet (mm), none overlapping; none for an id beyond the family.
struct Rectangle {
  std::array<double, 2> x_mm{};
  std::array<double, 2> y_mm{};
};
std::vector<Rectangle> rectangles_of(const Mark& mark);

// The inks that a press lays for black: the one ink that is dark in every channel, else all of them.
std::vector<std::string> dark_inks(const Layout& layout);

}  // namespace scrapetrace::tags
