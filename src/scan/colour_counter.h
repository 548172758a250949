#pragma once
// Detects pictures reduced to a palette, to a few greys, or to black and white.
//
// A palette serves what fills the page. It moves the shades of a streak to the nearest entry, the same all
// along the page: real streaks vanish and false ones appear.

#include <cstddef>
#include <cstdint>
#include <vector>

#include "scan/rows.h"

namespace scrapetrace::scan {

// Stands for quantisation noise, in code values: above any coder's, because it does not average out.
constexpr double kPaletteRounding = 100;

class ColourCounter {
 public:
  // `bands` (1 or 3) and `bytes_per_sample` (1 or 2) describe the rows to come. Only 8-bit pictures have
  // palettes.
  ColourCounter(int width_px, int bands, int bytes_per_sample);
  // The next stored rows. Samples every eighth row, until there are more colours than a palette holds.
  void add(const Rows& rows);
  // The next rows begin at `row`.
  void move_to(int row) { rows_seen_ = row; }
  // Merges the counts of another part of the same picture.
  void join(const ColourCounter& other);
  [[nodiscard]] std::size_t count() const { return colours_.size(); }
  // True when there are few colours although neighbours differ. A drawing without noise has few colours too,
  // and loses nothing.
  [[nodiscard]] bool few() const;

 private:
  void count_row(const std::uint8_t* samples);

  int width_px_;
  int bands_;
  std::size_t most_;
  bool full_;  // more colours than that, or not counted
  int rows_seen_ = 0;
  double pixels_ = 0;
  double changes_ = 0;                  // pixels unlike the one before
  std::vector<std::uint32_t> colours_;  // sorted
};

}  // namespace scrapetrace::scan
