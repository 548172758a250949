#pragma once
// A scanned page as the analysis takes it: full resolution across the process direction, averaged in short
// blocks of rows along it. Averaging happens on linear light, so that a blurred edge keeps its place.

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace scrapetrace {

struct PageRaster {
  int width_px = 0;           // across, after `transposed` is taken into account
  int height_px = 0;          // along
  int rows_per_block = 16;    // scan rows averaged into one block; the last block may hold fewer
  bool transposed = false;    // the image was read with rows and columns exchanged
  bool grey = false;          // all channels are the same
  double tag_dpi_across = 0;  // from the file's tags; 0: none, or not believable
  double tag_dpi_along = 0;
  std::vector<std::uint16_t> linear;  // [block][channel][x], 65535 = full scale, three channels

  [[nodiscard]] int blocks() const { return (height_px + rows_per_block - 1) / rows_per_block; }
  [[nodiscard]] int rows_in(int block) const {
    const int left = height_px - block * rows_per_block;
    return left < rows_per_block ? left : rows_per_block;
  }
  [[nodiscard]] const std::uint16_t* row(int block, int channel) const {
    return linear.data() + (static_cast<std::size_t>(block) * 3 + static_cast<std::size_t>(channel)) *
                               static_cast<std::size_t>(width_px);
  }
};

// A small upright picture of a page, in the sheet frame: pixel (0, 0)'s corner is at (left_mm, top_mm).
struct Thumbnail {
  int width_px = 0;
  int height_px = 0;
  double left_mm = 0;
  double top_mm = 0;
  double mm_per_px = 1;
  std::vector<std::uint8_t> rgb;  // sRGB, interleaved
};

}  // namespace scrapetrace
