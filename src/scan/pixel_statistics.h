#pragma once
// Statistics of single pixels, taken before averaging removes them.

#include <array>
#include <cstdint>
#include <vector>

#include "scan/rows.h"
#include "scrapetrace/page.h"

namespace scrapetrace::scan {

inline constexpr int kEveryRow = 8;
inline constexpr int kFirstRow = 3;      // inside JPEG's blocks of eight rows, not at their border
inline constexpr int kLargestStep = 24;  // code values; larger steps are printed edges

class PixelSampler {
 public:
  // `bands` (1 or 3) and `bytes_per_sample` (1 or 2) describe the rows to come; `width_px` is a stored row's.
  PixelSampler(PixelStatistics& statistics, int width_px, int bands, int bytes_per_sample);
  // The next stored rows; samples every eighth.
  void add(const Rows& rows);
  void add_row(const std::uint8_t* samples) { add({samples, 0, 1}); }
  // The next rows begin at `row`.
  void move_to(int row) { rows_seen_ = row; }

 private:
  void detect_format(const std::uint8_t* samples);
  void detect_format(const std::uint16_t* samples);
  void take_steps();  // of line_

  PixelStatistics& statistics_;
  int bands_;
  int bytes_per_sample_;
  int rows_seen_ = 0;
  std::vector<std::uint8_t> line_;  // one band of a row, upper 8 bits
};

// Merges counts of other rows of the same picture. Counts are integers, so the order does not matter.
void join(PixelStatistics& statistics, const PixelStatistics& other);

}  // namespace scrapetrace::scan
