#pragma once
// Luminance made as blunt as a JPEG's thinned colour, so that one blur holds for every ink.
//
// A coder that keeps one chroma sample for two pixels takes their mean, and decoders bring the pixels back by
// weighing the two nearest samples 3 to 1 (the triangle filter that libjpeg calls fancy upsampling). Over
// both phases the two make the binomial filter (1 4 6 4 1) / 16: coloured lines go through it, black ones do
// not. Here the luminance (ITU-T T.871, clause 7) goes through it, too, along the axis that matters: across
// the print.

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "scan/jpeg_header.h"
#include "scan/rows.h"

namespace scrapetrace::scan {

class EvenColour {
 public:
  enum class Axis { along_rows, along_columns };
  using Next = std::function<void(const Rows&)>;

  // Rows of `width_px` pixels, of three samples of 8 bits each.
  EvenColour(int width_px, Axis axis, Next next);

  // Takes the next rows and hands on those that are ready: at once along rows, two rows later along columns.
  void add(const Rows& rows);
  // After the last one.
  void finish();

 private:
  void filter_along(const std::uint8_t* row);
  void keep(const std::uint8_t* row);
  void hand_on(std::size_t k);

  int width_px_;
  Axis axis_;
  Next next_;
  std::vector<int> luma_;             // of one row
  std::vector<int> moves_;            // the same
  std::vector<std::uint8_t> evened_;  // one row
  // Along columns: the last rows and their luminance, by row number modulo 5.
  std::array<std::vector<std::uint8_t>, 5> rows_;
  std::array<std::vector<int>, 5> lumas_;
  std::size_t seen_ = 0;
};

// The axis, if a JPEG's pages of this header need it where columns of the stored image run across the print
// (`transposed`: where its rows do).
std::optional<EvenColour::Axis> axis_to_even(const JpegHeader& header, bool transposed);

}  // namespace scrapetrace::scan
