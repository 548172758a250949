#pragma once
// Sums of linear light over blocks of rows (of columns for a transposed image), filled as rows arrive.

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "scan/light_table.h"
#include "scan/rows.h"
#include "scrapetrace/page.h"

namespace scrapetrace::scan {

// Maps a stored pixel to the raster: first transpose, then flip each axis.
struct ReadingOrder {
  bool transposed = false;
  bool flip_u = false;
  bool flip_v = false;
};

// Takes linear light as it is produced: whole blocks with all channels, the first of them `block`. Each block
// comes once, in any order. Several threads may call it at the same time.
using LightSink = std::function<void(std::size_t block, std::span<const std::uint16_t> light)>;
// Makes a sink for `blocks` blocks of `samples` each; a null sink means that there is none.
using LightSinkFactory = std::function<LightSink(std::size_t blocks, std::size_t samples)>;

class BlockSums {
 public:
  // `page` must have its sizes and rows_per_block set. `bands` (1 or 3) and `bytes_per_sample` (1 or 2)
  // describe the rows to come. Light goes to the sink, and page.linear stays empty. Without a sink, or for a
  // transposed image, it goes to page.linear.
  BlockSums(PageRaster& page, int bands, int bytes_per_sample, ReadingOrder order,
            const LightSinkFactory& make_sink = {});
  // Without flips; transposed as the page says.
  BlockSums(PageRaster& page, int bands, int bytes_per_sample);

  // The next stored rows, top to bottom.
  void add(const Rows& rows);
  void add_row(const std::uint8_t* samples) { add({samples, 0, 1}); }

  // After the last row of the image or of a stretch.
  void finish() {
    if (put_) put_made(0);
  }

  // For stretches of rows that copies of this accumulate, in any order: call it before the first copy is made
  // and before each stretch. Stretches begin at multiples of step_px(); 0: the image is one stretch.
  void prepare_for_stretches();
  void move_to(int row) { rows_seen_ = row; }
  [[nodiscard]] int step_px() const;

 private:
  template <class Sample>
  void add_along(Rows rows);
  template <class Sample>
  void add_across(const Rows& rows);
  // Where a finished block's light is to be written.
  [[nodiscard]] std::uint16_t* place_of(int block);
  void flush(int block);
  // Flushes the finished blocks to the sink; `next` is the block that follows.
  void put_made(int next);
  [[nodiscard]] std::size_t raster_size(int blocks) const;
  // Where a block's channel begins in page.linear.
  [[nodiscard]] std::uint16_t* line(int block, std::size_t channel);

  PageRaster& page_;
  ReadingOrder order_;
  std::size_t bands_;
  int bytes_per_sample_;
  int rows_seen_ = 0;
  int rows_in_block_ = 0;
  std::vector<std::uint32_t> sums_;  // one block, interleaved
  LightTable light_;
  LightSink put_;
  // Finished blocks not yet flushed.
  std::vector<std::uint16_t> made_;
  int first_made_ = 0;
  int count_made_ = 0;
};

}  // namespace scrapetrace::scan
