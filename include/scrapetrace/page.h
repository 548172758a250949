#pragma once
// A scanned page as the analysis takes it: full resolution across the process direction, averaged in short
// blocks of rows along it. Averaging happens on linear light, so that a blurred edge keeps its place.

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "scrapetrace/light.h"

namespace scrapetrace {

// What single pixels are like, on every eighth row of the image as stored.
struct PixelStatistics {
  int bits = 8;  // per sample
  std::array<std::array<std::uint64_t, 256>, 3>
      codes{};  // how often each sRGB code occurs (its upper 8 bits)
  struct Steps {
    double sum = 0;
    double count = 0;
  };
  std::array<Steps, 8> steps{};   // between columns u - 1 and u, by u modulo 8; printed edges left out
  double quantisation_sigma = 0;  // of a JPEG: what its tables' rounding may put on a pixel, code values
};

// The page once more, small and grey, for what is found by its shape. It lies as the image is stored; rows
// and columns exchanged first, then each axis turned round, it lies as the raster.
struct Overview {
  int width = 0;  // cells; 0: not made
  int height = 0;
  int px_per_cell = 1;  // stored pixels averaged into a cell, in each direction
  bool transposed = false;
  bool flip_u = false;
  bool flip_v = false;
  std::vector<std::uint8_t> grey;  // sRGB codes of the mean light, rows from the top
};

// A side of an image, as its viewer sees it.
enum class ImageSide { top, right, bottom, left };

struct PageRaster {
  int width_px = 0;           // across, after `transposed` is taken into account
  int height_px = 0;          // along
  int rows_per_block = 16;    // scan rows averaged into one block; the last block may hold fewer
  bool transposed = false;    // the image was read with rows and columns exchanged
  bool grey = false;          // all channels are the same
  double tag_dpi_across = 0;  // from the file's tags; 0: none, or not believable
  double tag_dpi_along = 0;
  std::string tag_conflict;        // statements of the file about it that cannot all be true; empty: none
  std::vector<std::string> notes;  // what reading met or assumed, a sentence without its stop each
  PixelStatistics pixels;
  Overview overview;
  // Of a photo made flat: standard deviation of a place on it. 0: a scan.
  double flattening_sigma_mm = 0;
  // Of a page that was straightened: the same at equal steps across, first to last column. Empty: it was not.
  std::vector<double> bend_sigma_mm;
  Light linear;  // [block][channel][x], 65535 = full scale, three channels

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

// A small upright picture of a page or a part of it, in the sheet frame: its top-left corner is at (left_mm,
// top_mm). Its pixels need not be square.
struct Thumbnail {
  int width_px = 0;
  int height_px = 0;
  double left_mm = 0;
  double top_mm = 0;
  double width_mm = 0;
  double height_mm = 0;
  std::vector<std::uint8_t> rgb;  // sRGB, interleaved
};

}  // namespace scrapetrace
