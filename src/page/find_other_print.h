#pragma once
// Text, marks and pictures beside the found patches: rows that hold them are not bare paper.

#include <vector>

#include "page/find_rectangles.h"
#include "page/upright_map.h"

namespace scrapetrace::page {

struct OtherPrint {
  std::array<double, 2> x_mm{};  // upright frame
  std::array<double, 2> y_mm{};
};

// Rows of the sheet with ink outside the rectangles, one entry per stretch of rows. Ink counts when it begins
// or ends sharply along the process direction: haze, which runs on, is a fault to be found and no print.
std::vector<OtherPrint> find_other_print(const UprightMap& map, const FoundSheet& sheet, const Rgb& paper,
                                         const std::vector<FoundRectangle>& rectangles);

}  // namespace scrapetrace::page
