#include "cli/corners.h"

#include <cmath>
#include <locale>
#include <sstream>

namespace scrapetrace::cli {

namespace {

constexpr double kLargest_px = 200000;

// Twice the signed area of the triangle a, b, c.
double turn(const std::array<double, 2>& a, const std::array<double, 2>& b, const std::array<double, 2>& c) {
  return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
}

// All corners turn the same way: convex, none on a line.
bool go_round(const PhotoCorners& corners) {
  bool right = true;
  bool left = true;
  for (std::size_t k = 0; k < 4; ++k) {
    const double here = turn(corners[k], corners[(k + 1) % 4], corners[(k + 2) % 4]);
    right = right && here > 1;
    left = left && here < -1;
  }
  return right || left;
}

}  // namespace

std::optional<PhotoCorners> corners_in(const std::string& words) {
  std::istringstream in(words);
  in.imbue(std::locale::classic());
  PhotoCorners corners{};
  for (std::size_t k = 0; k < 4; ++k) {
    char comma = 0;
    char colon = ':';
    if (k > 0) in >> colon;
    in >> corners[k][0] >> comma >> corners[k][1];
    if (!in || comma != ',' || colon != ':') return std::nullopt;
    for (const double at : corners[k]) {
      if (!(std::abs(at) < kLargest_px)) return std::nullopt;
    }
  }
  in >> std::ws;
  return in.eof() && go_round(corners) ? std::optional(corners) : std::nullopt;
}

}  // namespace scrapetrace::cli
