#pragma once
// CIELAB (CIE 15, ISO/CIE 11664-4) relative to a white, and colour differences.

#include <array>

namespace scrapetrace::visual {

struct Lab {
  double l = 0;
  double a = 0;
  double b = 0;
};

// From linear sRGB (IEC 61966-2-1, D65), white (1, 1, 1). The seven-decimal matrix, whose rows sum to the
// white point, so that greys have a = b = 0.
Lab lab_from_linear(const std::array<double, 3>& rgb);

// CIEDE2000 (ISO/CIE 11664-6), kL = kC = kH = 1. Formula: Sharma, Wu, Dalal, Color Res. Appl. 30(1), 2005.
double delta_e_2000(const Lab& a, const Lab& b);

}  // namespace scrapetrace::visual
