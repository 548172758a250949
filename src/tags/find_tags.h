#pragma once
// Tags in a grey picture. This folder alone knows libapriltag.

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace scrapetrace::tags {

// Rows from the top, one byte per pixel, no padding.
struct GreyView {
  int width_px = 0;
  int height_px = 0;
  std::span<const std::uint8_t> pixels;
};

// Corners in the picture: outer corners of the black border, in the tag's own order: top left, top right,
// bottom right, bottom left. The centre of the first pixel is (0.5, 0.5).
struct Sighting {
  int id = 0;
  std::array<std::array<double, 2>, 4> corners_px{};
  double margin = 0;  // mean grey steps between a cell and the threshold: near 0, a chance pattern
};

struct FindOptions {
  double least_margin = 12;
};

// Sorted by id; the clearest where an id is seen more than once. A tag seen in a mirror is none: mirror the
// picture.
std::vector<Sighting> find_tags(const GreyView& picture, const FindOptions& options = {});

}  // namespace scrapetrace::tags
