#include "testpage/drawing.h"

namespace scrapetrace::testpage {

Shape box(std::array<double, 2> x_mm, std::array<double, 2> y_mm, const Rgb& srgb) {
  return {{{{x_mm[0], y_mm[0]}, {x_mm[1], y_mm[0]}, {x_mm[1], y_mm[1]}, {x_mm[0], y_mm[1]}}}, srgb};
}

}  // namespace scrapetrace::testpage
