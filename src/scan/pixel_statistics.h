#pragma once
// What single pixels are like, taken while they pass by: averaging would hide it.

#include <array>
#include <cstdint>
#include <vector>

#include "scan/rows.h"
#include "scrapetrace/page.h"

namespace scrapetrace::scan {

inline constexpr int kEveryRow = 8;
inline constexpr int kFirstRow = 3;      // inside a coder's blocks of eight, not at their border
inline constexpr int kLargestStep = 24;  // code values; more is a printed edge

class PixelSampler {
 public:
  // `bands` (1 or 3) and `bytes_per_sample` (1 or 2) describe the rows to come; `width_px` is a stored row's.
  PixelSampler(PixelStatistics& statistics, int width_px, int bands, int bytes_per_sample);
  // The next stored rows. Every eighth one counts.
  void add(const Rows& rows);
  void add_row(const std::uint8_t* samples) { add({samples, 0, 1}); }
  // The next rows to come begin at `row`; they need not follow those before.
  void move_to(int row) { rows_seen_ = row; }

 private:
  void look_at(const std::uint8_t* samples);
  void look_at(const std::uint16_t* samples);
  void take_steps();  // of line_

  PixelStatistics& statistics_;
  int bands_;
  int bytes_per_sample_;
  int rows_seen_ = 0;
  std::vector<std::uint8_t> line_;  // one band of a row, upper 8 bits
};

// Adds what was counted on other rows of the same picture. Counts are whole numbers: their order is nothing.
void join(PixelStatistics& statistics, const PixelStatistics& other);

}  // namespace scrapetrace::scan
