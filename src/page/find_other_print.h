#pragma once
// Finds text, marks and pictures beside the patches: their rows are not bare paper.

#include <vector>

#include "page/find_rectangles.h"
#include "page/upright_map.h"

namespace scrapetrace::page {

struct OtherPrint {
  std::array<double, 2> x_mm{};  // upright frame
  std::array<double, 2> y_mm{};
};

// Row ranges with ink outside the rectangles. The ink must begin or end sharply along the process direction;
// haze runs on, and is a fault rather than print.
std::vector<OtherPrint> find_other_print(const UprightMap& map, const FoundSheet& sheet, const Rgb& paper,
                                         const std::vector<FoundRectangle>& rectangles);

}  // namespace scrapetrace::page
