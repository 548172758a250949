#pragma once
// Blurs luminance as much as JPEG blurs subsampled chroma, so that one blur holds for every ink.
//
// A coder that subsamples chroma averages two pixels; decoders interpolate with weights 3 to 1 (the triangle
// filter, libjpeg's "fancy upsampling"). Averaged over both phases this is the binomial filter (1 4 6 4 1) /
// 16. It blurs coloured lines but not black ones. This class applies it to luminance (ITU-T T.871, clause 7)
// along the axis across the print.

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "scan/jpeg_header.h"
#include "scan/rows.h"

namespace scrapetrace::scan {

class LumaFilter {
 public:
  enum class Axis { along_rows, along_columns };
  using Next = std::function<void(const Rows&)>;

  // Rows of `width_px` pixels of three 8-bit samples.
  LumaFilter(int width_px, Axis axis, Next next);

  // Takes rows and emits those that are ready: at once along rows, two rows later along columns.
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
  // Along columns: the last five rows and their luminance, by row number modulo 5.
  std::array<std::vector<std::uint8_t>, 5> rows_;
  std::array<std::vector<int>, 5> lumas_;
  std::size_t seen_ = 0;
};

// The axis to filter, if a JPEG with this header needs it; columns of the stored image run across the print
// (`transposed`: rows do).
std::optional<LumaFilter::Axis> luma_filter_axis(const JpegHeader& header, bool transposed);

}  // namespace scrapetrace::scan
