#pragma once
// Whether a picture was cut down to a palette, to a few greys, or to black and white.
//
// A palette gives its colours to what fills the page; the shades of a streak are moved to the nearest of
// them, all along the page alike, which hides real streaks and draws false ones.

#include <cstddef>
#include <cstdint>
#include <vector>

#include "scan/rows.h"

namespace scrapetrace::scan {

// Standing in for a coder's rounding, code values: beyond every coder's, because it does not average out.
constexpr double kPaletteRounding = 100;

class ColourCounter {
 public:
  // `bands` (1 or 3) and `bytes_per_sample` (1 or 2) describe the rows to come. Deep pictures have no
  // palette.
  ColourCounter(int width_px, int bands, int bytes_per_sample);
  // The next stored rows; every eighth counts, and none once there are more colours than a palette holds.
  void add(const Rows& rows);
  // The next rows to come begin at `row`; they need not follow those before.
  void move_to(int row) { rows_seen_ = row; }
  // What another one saw of the same picture, as if this one had seen it, too.
  void join(const ColourCounter& other);
  [[nodiscard]] std::size_t count() const { return colours_.size(); }
  // So few colours although neighbours differ: drawings without noise have few colours and lose nothing.
  [[nodiscard]] bool few() const;

 private:
  void count_row(const std::uint8_t* samples);

  int width_px_;
  int bands_;
  std::size_t most_;
  bool full_;  // more than that, or not looked at
  int rows_seen_ = 0;
  double pixels_ = 0;
  double changes_ = 0;                  // pixels unlike the one before
  std::vector<std::uint32_t> colours_;  // sorted
};

}  // namespace scrapetrace::scan
