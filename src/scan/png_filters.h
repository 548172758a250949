#pragma once
// PNG row filters (PNG Specification, third edition, W3C Recommendation, clause 9).

#include <cstddef>
#include <cstdint>

namespace scrapetrace::scan {

// Bytes beyond a row that may be read and written.
inline constexpr std::size_t kPngSlack = 8;

// Undoes filter `type` (0 to 4) of a row of `size` bytes: `stored` into `row`. `above` is the unfiltered row
// above, zeros for the first row. `pixel` is the bytes per pixel: 1, 2, 3 or 6. The three buffers have
// kPngSlack spare bytes and do not overlap. False: no such filter.
bool undo_png_filter(int type, const std::uint8_t* stored, const std::uint8_t* above, std::uint8_t* row,
                     std::size_t size, std::size_t pixel);

}  // namespace scrapetrace::scan
