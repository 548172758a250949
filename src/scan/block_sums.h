#pragma once
// Sums of linear light over short blocks of rows (or of columns, for an image that lies across), filled as
// rows arrive, whichever way the stored image is turned.

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "scan/light_table.h"
#include "scan/rows.h"
#include "scrapetrace/page.h"

namespace scrapetrace::scan {

// Where a stored pixel goes in the raster: rows and columns are exchanged first, then each axis may run
// backwards.
struct ReadingOrder {
  bool transposed = false;
  bool flip_u = false;
  bool flip_v = false;
};

// Takes a page's light as it is made: whole blocks, all channels, the first of them `block`. Each comes once,
// in any order; several threads may call it at the same time.
using PutLight = std::function<void(std::size_t block, std::span<const std::uint16_t> light)>;
// Somebody else's room for a page's light, `blocks` of so many `samples` each; null: there is none.
using Room = std::function<PutLight(std::size_t blocks, std::size_t samples)>;

class BlockSums {
 public:
  // `page` must have its sizes and rows_per_block set; its raster is allocated here and filled by add_row.
  // `bands` (1 or 3) and `bytes_per_sample` (1 or 2) describe the rows to come.
  // The light goes where `room` has some, and the page's `linear` stays empty; else into `linear`, as that of
  // an image that lies across does in any case: there, every row belongs to all blocks.
  BlockSums(PageRaster& page, int bands, int bytes_per_sample, ReadingOrder order, const Room& room = {});
  // Nothing flipped; transposed as the page says.
  BlockSums(PageRaster& page, int bands, int bytes_per_sample);

  // The next stored rows, top to bottom.
  void add(const Rows& rows);
  void add_row(const std::uint8_t* samples) { add({samples, 0, 1}); }

  // After the last of the rows, or of a stretch.
  void finish() {
    if (put_) put_made(0);
  }

  // For stretches of rows that copies of this add up, each by itself and in any order: before the first copy
  // is made, and before each stretch. Stretches begin at multiples of step_px(); 0: there is but one.
  void prepare_for_stretches();
  void move_to(int row) { rows_seen_ = row; }
  [[nodiscard]] int step_px() const;

 private:
  template <class Sample>
  void add_along(Rows rows);
  template <class Sample>
  void add_across(const Rows& rows);
  // Where a whole block's light is to be written.
  [[nodiscard]] std::uint16_t* place_of(int block);
  void flush(int block);
  // Hands on what is made; that block comes next.
  void put_made(int next);
  [[nodiscard]] std::size_t raster_size(int blocks) const;
  // Where a block's channel begins in the page's own light.
  [[nodiscard]] std::uint16_t* line(int block, std::size_t channel);

  PageRaster& page_;
  ReadingOrder order_;
  std::size_t bands_;
  int bytes_per_sample_;
  int rows_seen_ = 0;
  int rows_in_block_ = 0;
  std::vector<std::uint32_t> sums_;  // one block, interleaved
  LightTable light_;
  PutLight put_;
  // Blocks to be put, and which.
  std::vector<std::uint16_t> made_;
  int first_made_ = 0;
  int count_made_ = 0;
};

}  // namespace scrapetrace::scan
