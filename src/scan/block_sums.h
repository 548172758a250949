#pragma once
// Sums of linear light over short blocks of rows (or of columns, for an image that lies across), filled as
// rows arrive, whichever way the stored image is turned.

#include <cstddef>
#include <cstdint>
#include <vector>

#include "scrapetrace/page.h"

namespace scrapetrace::scan {

// Where a stored pixel goes in the raster: rows and columns are exchanged first, then each axis may run
// backwards.
struct ReadingOrder {
  bool transposed = false;
  bool flip_u = false;
  bool flip_v = false;
};

class BlockSums {
 public:
  // `page` must have its sizes and rows_per_block set; its raster is allocated here and filled by add_row.
  // `bands` (1 or 3) and `bytes_per_sample` (1 or 2) describe the rows to come.
  BlockSums(PageRaster& page, int bands, int bytes_per_sample, ReadingOrder order);
  // Nothing flipped; transposed as the page says.
  BlockSums(PageRaster& page, int bands, int bytes_per_sample);

  // The next stored row, top to bottom, interleaved samples in host byte order.
  void add_row(const std::uint8_t* samples);

 private:
  void add_along(const std::uint8_t* samples);
  void add_across(const std::uint8_t* samples);
  void flush(int block);
  template <class Sample>
  void accumulate(const Sample* samples);
  template <class Sample>
  void accumulate_across(const Sample* samples);
  void store(int block, int channel, int x, std::uint32_t sum, int count);

  PageRaster& page_;
  ReadingOrder order_;
  std::size_t bands_;
  int bytes_per_sample_;
  int rows_seen_ = 0;
  int rows_in_block_ = 0;
  std::vector<std::uint32_t> sums_;       // one block, interleaved
  std::vector<std::uint16_t> linear_of_;  // code value to linear, 65535 = full scale
};

}  // namespace scrapetrace::scan
