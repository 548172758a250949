#pragma once
// Detects tags in a grey picture. Only this folder knows libapriltag.

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

// Outer corners of the black border in the tag's own order: top left, top right, bottom right, bottom left.
// The centre of the first pixel is (0.5, 0.5).
struct Sighting {
  int id = 0;
  std::array<std::array<double, 2>, 4> corners_px{};
  double margin = 0;  // mean grey difference of cells to the threshold; near 0: a chance pattern
};

struct FindOptions {
  double least_margin = 12;
};

// Sorted by id; of duplicates the clearest. Mirrored tags are not found: mirror the picture.
std::vector<Sighting> find_tags(const GreyView& picture, const FindOptions& options = {});

}  // namespace scrapetrace::tags
