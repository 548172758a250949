#pragma once
// Lengths in sentences.

#include <cmath>
#include <string>

namespace scrapetrace {

// "0.07 mm": rounded to so many decimals, half away from zero; for lengths of zero and more.
inline std::string written_mm(double mm, int decimals) {
  const long scale = std::lround(std::pow(10.0, decimals));
  const long parts = std::lround(static_cast<double>(scale) * mm);
  return std::to_string(parts / scale) + "." + std::to_string(scale + parts % scale).substr(1) + " mm";
}

}  // namespace scrapetrace
