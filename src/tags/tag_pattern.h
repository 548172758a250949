#pragma once
// The fiducial tags: family tag36h11 of the AprilTag system (Olson 2011; Wang and Olson 2016), free to use. 6
// x 6 code cells inside a black border of one cell; at least one white cell around it.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::tags {

inline constexpr int kCells = 8;  // across, black border included
int count();                      // ids are 0 to count() - 1

// Black cells of an upright tag: [row from the top][column from the left]. Nothing for an unknown id.
using Pattern = std::array<std::array<bool, kCells>, kCells>;
std::optional<Pattern> pattern_of(int id);

// Disjoint black rectangles of a mark on the sheet (mm); none for an unknown id.
struct Rectangle {
  std::array<double, 2> x_mm{};
  std::array<double, 2> y_mm{};
};
std::vector<Rectangle> rectangles_of(const Mark& mark);

// The inks for printing black: the one that is dark in every channel, else all.
std::vector<std::string> dark_inks(const Layout& layout);

}  // namespace scrapetrace::tags
