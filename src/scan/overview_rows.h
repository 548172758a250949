#pragma once
// The small grey picture of a page, filled as rows arrive.

#include <cstddef>
#include <cstdint>
#include <vector>

#include "scan/block_sums.h"
#include "scan/light_table.h"
#include "scrapetrace/page.h"

namespace scrapetrace::scan {

class OverviewRows {
 public:
  // Describes the stored image: size, `bands` (1 or 3), `bytes_per_sample` (1 or 2); `order` as the page is
  // read. Grey is the green band, in which the inks that make black are dark and yellow is not.
  OverviewRows(Overview& overview, int width_px, int height_px, int bands, int bytes_per_sample,
               ReadingOrder order);

  // The next stored rows, top to bottom.
  void add(const Rows& rows);
  void add_row(const std::uint8_t* samples) { add({samples, 0, 1}); }
  // For copies that process stretches: the next rows begin at `row`, a multiple of step_px().
  void move_to(int row) { rows_seen_ = row; }
  [[nodiscard]] int step_px() const { return overview_.px_per_cell; }

 private:
  template <class Sample>
  void accumulate(const Sample* samples);
  void flush();

  Overview& overview_;
  std::size_t bands_;
  int bytes_per_sample_;
  int rows_seen_ = 0;
  std::vector<std::uint32_t> sums_;  // one row of cells, linear light
  LightTable light_;
  std::vector<std::uint8_t> code_of_;  // upper 12 bits of linear light to code
};

}  // namespace scrapetrace::scan
