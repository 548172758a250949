#pragma once
// A tag seen under any map from its own frame to a picture, with an edge of a given softness.

#include <array>
#include <cmath>
#include <cstdint>
#include <functional>
#include <vector>

#include "base/srgb.h"
#include "tags/find_tags.h"
#include "tags/tag_pattern.h"

namespace scrapetrace::testing {

struct Picture {
  int width_px = 0;
  int height_px = 0;
  std::vector<std::uint8_t> grey;
  [[nodiscard]] tags::GreyView view() const { return {width_px, height_px, grey}; }
};

// `tag_from_picture` gives cells from the tag's top left corner at a place of the picture. Each pixel is the
// mean light of 16 x 16 places of its area.
using TagFromPicture = std::function<std::array<double, 2>(double u, double v)>;

inline Picture picture_of(int id, int width_px, int height_px, const TagFromPicture& tag_from_picture) {
  constexpr int kPlaces = 16;
  const auto pattern = tags::pattern_of(id).value();
  Picture picture{width_px, height_px, {}};
  for (int j = 0; j < height_px; ++j) {
    for (int i = 0; i < width_px; ++i) {
      int black = 0;
      for (int k = 0; k < kPlaces * kPlaces; ++k) {
        const auto [x, y] =
            tag_from_picture(i + (k % kPlaces + 0.5) / kPlaces, j + (k / kPlaces + 0.5) / kPlaces);
        if (x < 0 || y < 0 || x >= tags::kCells || y >= tags::kCells) continue;
        black += pattern[static_cast<std::size_t>(y)][static_cast<std::size_t>(x)] ? 1 : 0;
      }
      const double light = 0.85 - 0.8 * black / (kPlaces * kPlaces);
      picture.grey.push_back(static_cast<std::uint8_t>(std::lround(255 * srgb_from_linear(light))));
    }
  }
  return picture;
}

}  // namespace scrapetrace::testing
